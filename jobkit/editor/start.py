"""Put the server together."""

from __future__ import annotations

from jobkit.editor.documents import follow_documents
from jobkit.editor.log import log_in_lines
from jobkit.editor.outside import Outside
from jobkit.editor.questions import answer_questions
from jobkit.editor.server import Server


def make_server(outside: Outside) -> Server:
    """Make the server with all that it answers."""
    log_in_lines()
    server = Server(outside)
    follow_documents(server)
    answer_questions(server)
    return server
