"""Texts that must come out of a page as they went in: markup, ends of elements, other scripts, and very long ones."""

TEXTS = {
    "a script": "<script>alert(1)</script>",
    "an end of an element": "</p></td></style></title><img src=x onerror=alert(1)>",
    "quotes": '"\' onmouseover="alert(1)" x=\'',
    "an entity": "&lt;b&gt; &#60;",
    "a template": "{{ 7 * 7 }}{% raw %}",
    "a comment": "<!-- --> ]]> <![CDATA[",
    "right to left": "اللوحة لا تعمل منذ يوم الأحد",
    "emoji": "👩\u200d🔧 burns 🔥",
    "long": "x" * 4000,
    "lines": "one\ntwo",
}
