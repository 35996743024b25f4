"""The lines that the README gives for an editor start the server in it, where that editor is installed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.books import JOB, JOB_PATH, make_book

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def block(language: str) -> str:
    """Return the one block of the README in a language."""
    (found,) = re.findall(rf"^```{language}\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    return str(found)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A job with a slip, in a book."""
    return make_book(tmp_path / "book", {JOB_PATH: JOB.replace('"0.4 Ω"', '"0.4 ohms"')}) / JOB_PATH


@pytest.fixture
def told(tmp_path: Path) -> Mapping[str, str]:
    """An environment in which `jobkit` is on the path, and nothing of the person's own settings counts."""
    command = tmp_path / "bin/jobkit"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m jobkit "$@"\n')
    command.chmod(0o755)
    path = f"{command.parent}{os.pathsep}{os.environ['PATH']}"
    return {
        **os.environ,
        "PATH": path,
        "HOME": str(tmp_path),
        "LC_ALL": "C.UTF-8",
        "PYTHONPATH": str(Path.cwd()),
    }


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("nvim"), reason="Neovim is not installed here")
def test_the_lines_for_neovim_start_it(tmp_path: Path, place: Path, told: Mapping[str, str]) -> None:
    init = tmp_path / "init.lua"
    init.write_text("vim.cmd('filetype plugin on')\n" + block("lua"))
    look = (
        "vim.wait(30000, function() return #vim.diagnostic.get(0) > 0 end, 20);"
        " for _, one in ipairs(vim.diagnostic.get(0)) do io.stdout:write(one.message) end"
    )
    words = ["nvim", "--headless", "--clean", "-u", str(init), str(place), "-c", f"lua {look}", "-c", "qall!"]
    done = subprocess.run(
        words, env=told, capture_output=True, timeout=100, check=False, stdin=subprocess.DEVNULL
    )
    assert '"ohms" is not a unit' in done.stdout.decode() + done.stderr.decode()


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("nvim"), reason="Neovim is not installed here")
def test_an_entry_of_several_lines_is_completed_line_by_line(
    tmp_path: Path, place: Path, told: Mapping[str, str]
) -> None:
    """The next reading of the proof, chosen from the menu, as a person does."""
    place.write_text(JOB.partition("[[reading]]")[0].replace("sent = 2026-10-12\n", "") + "\n")
    init = tmp_path / "init.lua"
    init.write_text("vim.cmd('filetype plugin on')\n" + block("lua"))
    script = tmp_path / "keys.lua"
    script.write_text("""
vim.wait(30000, function()
  return #vim.lsp.buf_get_clients(0) > 0 and vim.lsp.get_client_by_id(jobkit).initialized
end, 20)
vim.fn.cursor(vim.fn.line("$"), 1)
local keys = function(text) return vim.api.nvim_replace_termcodes(text, true, false, true) end
local function choose()
  if vim.fn.pumvisible() == 0 then return vim.defer_fn(choose, 100) end
  vim.api.nvim_feedkeys(keys("<C-p><C-p><C-y><Esc>:wqall!<CR>"), "t", false)
end
vim.defer_fn(choose, 100)
vim.api.nvim_feedkeys(keys("A<C-x><C-o>"), "n", false)
""")
    words = ["nvim", "--headless", "--clean", "-u", str(init), str(place), "-S", str(script)]
    subprocess.run(words, env=told, capture_output=True, timeout=100, check=False, stdin=subprocess.DEVNULL)
    text = place.read_text("utf-8")
    assert "\0" not in text
    assert re.search(
        r'^\[\[reading\]\]\nat = .*\nby = ".*"\nstage = "proof"\npoint = "VMEM"$', text, re.MULTILINE
    ), text


def _has_eglot() -> bool:
    if not shutil.which("emacs"):
        return False
    words = ["emacs", "--batch", "--eval", "(progn (package-initialize) (require 'eglot))"]
    return subprocess.run(words, capture_output=True, check=False, timeout=60).returncode == 0


@pytest.mark.slow
def test_the_lines_for_emacs_start_it(tmp_path: Path, place: Path, told: Mapping[str, str]) -> None:
    if not _has_eglot():
        pytest.skip("Emacs with eglot is not installed here")
    script = tmp_path / "try.el"
    script.write_text(
        "(package-initialize)\n"
        + block("elisp")
        + f"""
(find-file "{place}")
(call-interactively 'eglot)
(let ((tries 300))
  (while (and (> tries 0) (not (flymake-diagnostics)))
    (accept-process-output nil 0.1)
    (when (= 0 (% tries 10)) (flymake-start))
    (setq tries (1- tries))))
(dolist (one (flymake-diagnostics)) (message "%s" (flymake-diagnostic-text one)))
"""
    )
    words = ["emacs", "--batch", "-l", str(script)]
    done = subprocess.run(
        words, env=told, capture_output=True, timeout=120, check=False, stdin=subprocess.DEVNULL
    )
    assert '"ohms" is not a unit' in done.stderr.decode()
