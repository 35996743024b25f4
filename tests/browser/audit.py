"""Looks at a page as a person with weak eyes or a screen reader would; runs in the page.

Contrast: W3C, Web Content Accessibility Guidelines 2.2, 1.4.3 (text at least 4.5 to 1) with the relative luminance and
the ratio defined there. The rest, same guidelines: 1.1.1 (pictures have words), 1.3.1 (headings in order, columns with
heads), 2.4.2 (title), 3.1.1 (language), 1.4.10 (no scrolling sideways).
"""

AUDIT = """() => {
  const faults = [];
  const part = (c) => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
  const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  const colour = (text) => {
    const found = text.match(/[\\d.]+/g).map(Number);
    return found.length > 3 && found[3] === 0 ? null : found.slice(0, 3);
  };
  const ground = (node) => {
    for (; node; node = node.parentElement) {
      const found = colour(getComputedStyle(node).backgroundColor);
      if (found) return found;
    }
    return [255, 255, 255];
  };
  const inDrawing = (node) => node instanceof SVGElement;
  const shapeUnder = (text) => {
    const box = text.getBoundingClientRect();
    const x = box.left + box.width / 2, y = box.top + box.height / 2;
    let found = null;
    for (const one of text.closest('svg').querySelectorAll('rect, circle, path, text')) {
      if (one === text) break;
      const area = one.getBoundingClientRect(), fill = getComputedStyle(one).fill;
      const covers = area.left <= x && x <= area.right && area.top <= y && y <= area.bottom;
      if (covers && one.tagName !== 'text' && fill !== 'none') found = colour(fill);
    }
    return found;
  };
  for (const node of document.querySelectorAll('body *')) {
    const own = [...node.childNodes].some((one) => one.nodeType === 3 && one.textContent.trim());
    if (!own || ['DESC', 'TITLE', 'SCRIPT'].includes(node.tagName.toUpperCase())) continue;
    const style = getComputedStyle(node);
    const ink = light(colour(inDrawing(node) ? style.fill : style.color));
    const shape = inDrawing(node) ? shapeUnder(node) : null;
    const paper = light(shape ?? ground(inDrawing(node) ? node.closest('svg').parentElement : node));
    const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
    const what = `${node.tagName} ${node.textContent.trim().slice(0, 30)}`;
    if (ratio < 4.5) faults.push(`contrast ${ratio.toFixed(2)}: ${what}`);
  }
  for (const one of document.querySelectorAll('img')) if (!one.alt) faults.push('picture without words');
  for (const one of document.querySelectorAll('svg:not([aria-hidden])')) {
    const titled = one.getAttribute('role') === 'img' && one.querySelector('title')?.textContent.trim();
    if (!titled) faults.push('drawing without a title');
  }
  let level = 0;
  for (const one of document.querySelectorAll('h1,h2,h3,h4,h5,h6')) {
    const now = Number(one.tagName[1]);
    if (now > level + 1) faults.push(`heading ${one.tagName} after level ${level}`);
    level = now;
  }
  if (document.querySelectorAll('h1').length !== 1) faults.push('not one h1');
  if (document.querySelectorAll('main').length !== 1) faults.push('not one main');
  if (!document.title.trim()) faults.push('no title');
  if (!document.documentElement.lang) faults.push('no language');
  for (const one of document.querySelectorAll('table'))
    if (one.querySelectorAll('th[scope=col]').length === 0) faults.push('table without heads');
  for (const one of document.querySelectorAll('[style],[onclick],[onload],[onerror]'))
    faults.push(`inline style or script: ${one.tagName}`);
  for (const one of document.querySelectorAll('input'))
    if (!one.labels?.length && !one.getAttribute('aria-label')) faults.push('input without a label');
  const ids = [...document.querySelectorAll('[id]')].map((one) => one.id);
  if (new Set(ids).size !== ids.length) faults.push('an id twice');
  const wide = document.documentElement.scrollWidth;
  if (wide > innerWidth) faults.push(`scrolls sideways: ${wide} > ${innerWidth}`);
  return faults;
}"""
