"""Write the pictures of the README: `python -m tests.pictures`."""

from __future__ import annotations

from tests.pictures.book import FOLDER, pictures

if __name__ == "__main__":
    for name, text in pictures().items():
        (FOLDER / name).write_text(text, "utf-8")
        print(f"{name}  {len(text.encode()) / 1000:.1f} kB")
