"""`jobkit editor` as a process: findings while you type; nothing ends it or makes it say what no longer holds."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from jobkit.editor.shown.books import Books
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import JOB, JOB_PATH, line_of, make_book
from tests.conftest import Run
from tests.editor.client import Client, serving
from tests.editor.conftest import outside

SLIP = JOB.replace('"0.4 Ω"', '"0.4 kg"')


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return make_book(tmp_path / "book")


def test_a_slip_is_found_while_it_is_typed_and_gone_when_it_is_fixed(book: Path) -> None:
    place = book / JOB_PATH
    with serving(book) as client:
        assert client.open(place) == []
        (found,) = client.change(place, SLIP)
        line = line_of(JOB, '"0.4 Ω"') - 1
        assert found["range"] == {
            "start": {"line": line, "character": 0},
            "end": {"line": line, "character": 16},
        }
        assert found["message"].startswith('"kg" is not a unit of resistance\ngive it in')
        assert (found["severity"], found["source"], found["code"]) == (1, "jobkit", "schema")
        assert client.change(place, JOB) == []


def test_a_finding_has_the_page_of_its_rule_a_click_away(book: Path) -> None:
    with serving(book) as client:
        (found,) = client.open(book / JOB_PATH, SLIP)
    page = Path(found["codeDescription"]["href"].removeprefix("file://"))
    assert page.read_text("utf-8").startswith("# schema\n")


def test_columns_are_counted_in_utf_16(book: Path) -> None:
    """A letter beyond the first plane is two units of UTF-16 and one character."""
    line = 'intake = { complaint = "😀😀 Ω", wrong = 1 }'
    text = JOB.replace('[intake]\ncomplaint = "No picture since Monday"\n', "").replace(
        "[board]", f"{line}\n[board]"
    )
    with serving(book) as client:
        found = client.open(book / JOB_PATH, text)
    (wrong,) = [one for one in found if "wrong" in one["message"]]
    start = len(line[: line.index("wrong")].encode("utf-16-le")) // 2
    assert wrong["range"]["start"]["character"] == start
    assert wrong["range"]["end"]["character"] == start + len("wrong = 1")


def test_beside_half_typed_text_the_rest_keeps_being_served(book: Path) -> None:
    half = SLIP + '\n[[reading]]\npoint = "VMEM"\nvalue = "'
    with serving(book) as client:
        found = client.open(book / JOB_PATH, half)
    assert [one["range"]["start"]["line"] for one in found] == [half.count("\n"), line_of(JOB, '"0.4 Ω"') - 1]


RENAMED_POINT = ('name = "VMEM"\nwhere', 'name = "VMEM1"\nwhere')


def test_an_edit_of_the_board_file_is_seen_in_the_job_before_either_is_saved(book: Path) -> None:
    board = book / "boards/alder-a1.toml"
    with serving(book) as client:
        assert client.open(book / JOB_PATH) == []
        client.open(board)
        client.type(board, board.read_text("utf-8").replace(*RENAMED_POINT))
        assert {one["code"] for one in client.findings(book / JOB_PATH)} == {"point-unknown"}


def test_a_book_that_changes_under_it_is_looked_at_again(book: Path) -> None:
    """A checkout by another hand: no message of the client tells of it."""
    repo = GitRepo.make(book)
    board = "boards/alder-a1.toml"
    repo.commit("As it is")
    repo.git("checkout", "-q", "-b", "other")
    repo.write(board, (book / board).read_text("utf-8").replace(*RENAMED_POINT))
    repo.commit("Another name")
    repo.git("checkout", "-q", "main")
    with serving(book) as client:
        assert client.open(book / JOB_PATH) == []
        repo.git("checkout", "-q", "other")
        assert {one["code"] for one in client.findings(book / JOB_PATH)} == {"point-unknown"}
        repo.git("checkout", "-q", "main")
        assert client.findings(book / JOB_PATH) == []


def test_a_change_that_a_question_sees_first_is_still_to_be_checked(book: Path) -> None:
    books = Books(outside())
    books.show((book / JOB_PATH).as_uri(), JOB, 1)
    (shown,) = books
    shown.facts()
    shown.is_checked = True
    assert not shown.has_changed()
    board = book / "boards/alder-a1.toml"
    board.write_text(board.read_text("utf-8").replace(*RENAMED_POINT), "utf-8")
    shown.facts()  # as a hover asks
    assert (shown.has_changed(), shown.is_checked) == (False, False)


def test_a_sealed_job_is_told_as_it_is_typed(book: Path) -> None:
    repo = GitRepo.make(book)
    repo.commit("Sent")
    with serving(book) as client:
        assert client.open(book / JOB_PATH) == []
        found = client.change(book / JOB_PATH, JOB.replace('"23.4 Ω"', '"32.4 Ω"'))
        assert [one["code"] for one in found] == ["sealed"]


def test_a_file_outside_a_book_is_left_alone(book: Path, tmp_path: Path) -> None:
    other = tmp_path / "notes.toml"
    with serving(book) as client:
        for place in (other, book / "README.md", book / "jobs/2026/K26-0001/load.toml"):
            document = {"uri": place.as_uri(), "languageId": "toml", "version": 1, "text": "x ="}
            client.notify("textDocument/didOpen", {"textDocument": document})
        assert client.open(book / JOB_PATH, SLIP)
        assert [one for one in client.inbox if one.get("method") == "textDocument/publishDiagnostics"] == []


def test_the_findings_of_a_closed_file_are_taken_off(book: Path) -> None:
    place = book / JOB_PATH
    with serving(book) as client:
        assert client.open(place, SLIP)
        client.notify("textDocument/didClose", {"textDocument": {"uri": place.as_uri()}})
        assert client.next("textDocument/publishDiagnostics")["diagnostics"] == []


def test_two_servers_work_on_one_book(book: Path) -> None:
    with serving(book) as one, serving(book) as other:
        assert one.open(book / JOB_PATH, SLIP)
        assert other.open(book / JOB_PATH) == []
        assert one.change(book / JOB_PATH, JOB) == []
        assert other.change(book / JOB_PATH, SLIP)


def framed(body: str) -> bytes:
    return b"Content-Length: %d\r\n\r\n%b" % (len(body), body.encode())


NONSENSE = {
    "no JSON": framed("{{{{{"),
    "JSON that is no message": framed("[]"),
    "a header that is none": b"Hello: there\r\n\r\n",
    "an unknown message": framed('{"jsonrpc":"2.0","method":"no/such","params":null}'),
    "a message without what it is about": framed(
        '{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{}}'
    ),
    "a change of what is not open": framed(
        '{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"textDocument":'
        '{"uri":"file:///nowhere.toml","version":2},"contentChanges":[{"text":""}]}}'
    ),
}


@pytest.mark.parametrize("data", NONSENSE.values(), ids=NONSENSE)
def test_nonsense_of_the_client_does_not_end_it(book: Path, data: bytes) -> None:
    with serving(book) as client:
        client.send_bytes(data)
        assert client.open(book / JOB_PATH, SLIP)


def test_texts_that_no_file_can_hold_do_not_end_it(book: Path) -> None:
    with serving(book) as client:
        for text in ("\ud800", "\0" * 100, "[" * 5000, "a." * 5000 + "b = 1", '"""'):
            client.notify(
                "textDocument/didOpen",
                {
                    "textDocument": {
                        "uri": (book / JOB_PATH).as_uri(),
                        "languageId": "toml",
                        "version": 0,
                        "text": text,
                    }
                },
            )
        assert client.open(book / JOB_PATH, SLIP)


@pytest.mark.parametrize("how", ["its pipe closes", "it says exit at once"])
def test_it_ends_with_a_client_that_dies(book: Path, how: str) -> None:
    with Client() as client:
        client.start(book)
        client.open(book / JOB_PATH)
        assert client.process.stdin is not None
        if how == "its pipe closes":
            client.process.stdin.close()
            client.process.stdin = None
        else:
            client.notify("exit", None)
        client.process.wait(10)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such signal")
def test_it_ends_quietly_when_it_is_stopped(book: Path) -> None:
    with Client() as client:
        client.start(book)
        client.process.send_signal(signal.SIGINT)
        assert client.process.stdin is not None
        client.process.stdin.close()
        client.process.stdin = None
        client.process.wait(10)
        assert client.process.stderr is not None
        assert b"Traceback" not in client.process.stderr.read()


def test_without_its_packages_it_says_what_to_install(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [name for name in sys.modules if name.startswith(("pygls", "lsprotocol", "jobkit.editor"))]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "pygls", None)
    monkeypatch.setitem(sys.modules, "lsprotocol", None)
    ran = run("editor")
    assert (ran.status, ran.out) == (2, "")
    assert 'install it with `pip install "jobkit[editor]"`' in " ".join(ran.err.split())


def test_a_refused_rename_is_an_answer_and_nothing_on_stderr(book: Path) -> None:
    place = book / JOB_PATH
    with Client() as client:
        client.start(book)
        client.open(place)
        line = line_of(JOB, 'point = "VMEM"') - 1
        asked = {
            "textDocument": {"uri": place.as_uri()},
            "position": {"line": line, "character": 10},
            "newName": "",
        }
        error = client.answer("textDocument/rename", asked)["error"]
        assert error["message"] == '"" is not a name; use letters, digits and hyphens'
        assert error["code"] == -32803  # LSP 3.17, "RequestFailed"
        assert client.end() == 0
        assert client.process.stderr is not None
        assert client.process.stderr.read() == b""


def question(book: Path, line: int, character: int) -> dict[str, object]:
    place = {"line": line, "character": character}
    return {"textDocument": {"uri": (book / JOB_PATH).as_uri()}, "position": place}


def test_columns_are_those_of_utf_16_whatever_else_a_client_knows(book: Path) -> None:
    """LSP 3.17, "Position": a client that offers encodings has to know UTF-16, and gets it where nothing is said."""
    with Client() as client:
        told = client.start(book, {"general": {"positionEncodings": ["utf-8", "utf-32", "utf-16"]}})
        assert told.get("positionEncoding") in {None, "utf-16"}
        text = JOB.replace('title = "No picture"', "title = { ΩΩ😀 = 1 }")
        (found, *_) = client.open(book / JOB_PATH, text)
        assert found["range"]["start"]["line"] == line_of(text, "title") - 1


REFUSED = {
    "a negative line": ("textDocument/hover", {"line": -1, "character": 0}, -32602),
    "a negative column": ("textDocument/hover", {"line": 0, "character": -7}, -32602),
    "no position": ("textDocument/hover", None, -32602),
    "a request that is not served": ("jobkit/other", {"line": 0, "character": 0}, -32601),
}


@pytest.mark.parametrize(("method", "position", "code"), REFUSED.values(), ids=REFUSED)
def test_a_question_that_cannot_be_read_is_answered_all_the_same(
    book: Path, method: str, position: object, code: int
) -> None:
    with serving(book) as client:
        client.open(book / JOB_PATH)
        asked = {"textDocument": {"uri": (book / JOB_PATH).as_uri()}, "position": position}
        assert client.answer(method, asked)["error"]["code"] == code
        assert client.at("hover", book / JOB_PATH, 3, 2)


def test_a_position_beyond_the_line_or_the_text_is_answered(book: Path) -> None:
    with serving(book) as client:
        client.open(book / JOB_PATH)
        for line, character in ((3, 99999), (99999, 0), (2**31 - 1, 2**31 - 1)):
            for method in ("hover", "completion", "definition"):
                client.ask(f"textDocument/{method}", question(book, line, character))


def test_a_question_before_the_first_message_or_after_shutdown_is_refused(book: Path) -> None:
    with Client() as client:
        assert client.answer("textDocument/hover", question(book, 0, 0))["error"]["code"] == -32002
        client.start(book)
        client.ask("shutdown", None)
        assert client.answer("textDocument/hover", question(book, 0, 0))["error"]["code"] == -32600
        client.notify("exit", None)
        assert client.process.wait(10) == 0


def test_after_shutdown_without_exit_it_ends_with_the_pipe(book: Path) -> None:
    with Client() as client:
        client.start(book)
        client.ask("shutdown", None)
        assert client.process.stdin is not None
        client.process.stdin.close()
        client.process.stdin = None
        client.process.wait(10)


def test_a_request_that_is_cancelled_still_gets_its_answer(book: Path) -> None:
    """LSP 3.17, "Cancellation Support": a request that is cancelled still needs to return and to send a response."""
    with serving(book) as client:
        client.open(book / JOB_PATH)
        client.send({"id": 500, "method": "textDocument/hover", "params": question(book, 3, 2)})
        client.notify("$/cancelRequest", {"id": 500})
        client.notify("$/cancelRequest", {"id": 987})
        assert client.at("hover", book / JOB_PATH, 3, 2)
        assert [one for one in client.inbox if one.get("id") == 500]


NOTES = {
    "files that changed": ("workspace/didChangeWatchedFiles", {"changes": [{"uri": "file:///x", "type": 2}]}),
    "folders": (
        "workspace/didChangeWorkspaceFolders",
        {"event": {"added": [{"uri": "file:///x", "name": "x"}], "removed": [{"uri": "file:///y", "name": "y"}]}},
    ),
    "settings": ("workspace/didChangeConfiguration", {"settings": None}),
    "a save to come": ("textDocument/willSave", {"textDocument": {"uri": "file:///x"}, "reason": 1}),
    "a save of what is not open": ("textDocument/didSave", {"textDocument": {"uri": "file:///x"}}),
    "a close of what is not open": ("textDocument/didClose", {"textDocument": {"uri": "file:///x"}}),
    "an open without a file": (
        "textDocument/didOpen",
        {"textDocument": {"uri": "untitled:Untitled-1", "languageId": "toml", "version": 1, "text": "x ="}},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("method", "params"), NOTES.values(), ids=NOTES)
def test_what_a_client_tells_beside_changes_nothing(book: Path, method: str, params: object) -> None:
    with serving(book) as client:
        assert client.open(book / JOB_PATH, SLIP)
        client.notify(method, params)
        assert client.change(book / JOB_PATH, JOB) == []


def test_a_changed_file_of_which_the_client_tells_is_looked_at_at_once(book: Path) -> None:
    board = book / "boards/alder-a1.toml"
    with serving(book) as client:
        assert client.open(book / JOB_PATH) == []
        board.write_text(board.read_text("utf-8").replace(*RENAMED_POINT), "utf-8")
        client.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": board.as_uri(), "type": 2}]})
        assert {one["code"] for one in client.findings(book / JOB_PATH)} == {"point-unknown"}


def test_a_book_in_an_odd_place_and_a_file_that_is_not_saved_yet(tmp_path: Path) -> None:
    book = make_book(tmp_path / "my book 100% Ω#1?")
    with serving(book) as client:
        assert client.open(book / JOB_PATH, SLIP)
        new = book / "jobs/2027/K27-0001.toml"
        assert {one["code"] for one in client.open(new, "")} == {"schema"}
        assert not new.exists()
        assert client.change(book / JOB_PATH, JOB) == []


def test_a_fix_of_a_text_with_carriage_returns_keeps_them(book: Path) -> None:
    text = JOB.replace('"0.4 Ω"', '"0.4 ohms"').replace("\n", "\r\n")
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 999, "character": 0}}
    with serving(book) as client:
        (found,) = client.open(book / JOB_PATH, text)
        asked = {
            "textDocument": {"uri": (book / JOB_PATH).as_uri()}, "range": whole, "context": {"diagnostics": []},
        }  # fmt: skip
        fix = client.ask("textDocument/codeAction", asked)[0]
    assert found["range"]["start"]["line"] == line_of(JOB, '"0.4 Ω"') - 1
    (edit,) = fix["edit"]["documentChanges"][0]["edits"]
    assert edit["newText"] == "Ω"
    assert edit["range"]["start"] == {"line": line_of(JOB, '"0.4 Ω"') - 1, "character": 13}


@pytest.mark.skipif(sys.platform == "win32", reason="there it is not looked whether the client is there")
def test_it_ends_with_a_client_whose_pipe_another_process_keeps_open(book: Path) -> None:
    """The client that is named in `initialize` dies; the pipe stays open, for this test holds it."""
    with subprocess.Popen(["sleep", "60"]) as other, Client() as client:
        client.ask("initialize", {"processId": other.pid, "rootUri": book.as_uri(), "capabilities": {}})
        client.notify("initialized", {})
        client.open(book / JOB_PATH)
        other.kill()
        other.wait()
        assert client.process.wait(10) == 1
