"""The documents of an editor: opened, changed, saved, closed."""

from __future__ import annotations

from lsprotocol import types as lsp

from jobkit.editor.server import Server


def follow_documents(server: Server) -> None:
    """Keep the server's files as the editor shows them."""

    @server.feature(lsp.INITIALIZED)
    def begun(params: lsp.InitializedParams) -> None:
        del params
        server.watch()

    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: lsp.DidOpenTextDocumentParams) -> None:
        document = params.text_document
        _show(server, document.uri, document.text, document.version)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def changed(params: lsp.DidChangeTextDocumentParams) -> None:
        document = params.text_document
        _show(server, document.uri, server.workspace.get_text_document(document.uri).source, document.version)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: lsp.DidCloseTextDocumentParams) -> None:
        server.forget(params.text_document.uri)
        server.check_soon()

    @server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    def saved(params: lsp.DidSaveTextDocumentParams) -> None:
        del params
        _look_anew(server)

    @server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def watched(params: lsp.DidChangeWatchedFilesParams) -> None:
        del params
        _look_anew(server)


def _show(server: Server, uri: str, text: str, version: int | None) -> None:
    if server.books.show(uri, text, version):
        server.check_soon(uri)


def _look_anew(server: Server) -> None:
    for book in server.books:
        book.refresh()
    server.check_soon()
