"""Each question that an editor asks, handed to the module that answers it."""

from __future__ import annotations

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException

from jobkit.editor.complete.completion import completion
from jobkit.editor.fix.quick_fixes import fixes
from jobkit.editor.hover.answer import hover
from jobkit.editor.names.places import definitions
from jobkit.editor.names.references import MOST_JOBS, references
from jobkit.editor.names.rename import rename, renameable
from jobkit.editor.server import Server
from jobkit.editor.symbols import symbols
from jobkit.editor.verdicts import verdicts
from jobkit.units.errors import MisuseError

_TRIGGERS = ['"', "[", ".", "="]


def answer_questions(server: Server) -> None:
    """Register all that the server answers."""
    _about_names(server)
    _about_files(server)
    _changes(server)


def _about_names(server: Server) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hovered(params: lsp.HoverParams) -> lsp.Hover | None:
        return server.ask(params.text_document.uri, lambda book, file: hover(file, book, params.position))

    @server.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=_TRIGGERS))
    def completed(params: lsp.CompletionParams) -> lsp.CompletionList | None:
        snippets = _knows_snippets(server.client_capabilities)
        return server.ask(
            params.text_document.uri,
            lambda book, file: completion(file, book, params.position, snippets=snippets),
        )

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def defined(params: lsp.DefinitionParams) -> list[lsp.Location] | None:
        return server.ask(
            params.text_document.uri, lambda book, file: definitions(file, book, params.position)
        )

    @server.feature(lsp.TEXT_DOCUMENT_REFERENCES)
    def referred(params: lsp.ReferenceParams) -> list[lsp.Location] | None:
        found = server.ask(
            params.text_document.uri, lambda book, file: references(file, book, params.position)
        )
        if found and found.is_cut:
            told = f"older jobs than the newest {MOST_JOBS} are left out; `jobkit summarise` goes through all"
            server.tell(told, lsp.MessageType.Info)
        return found and found.places


def _about_files(server: Server) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outlined(params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol] | None:
        return server.ask(params.text_document.uri, lambda _book, file: symbols(file))

    @server.feature(lsp.TEXT_DOCUMENT_INLAY_HINT)
    def hinted(params: lsp.InlayHintParams) -> list[lsp.InlayHint] | None:
        return server.ask(params.text_document.uri, lambda book, file: verdicts(file, book, params.range))


def _changes(server: Server) -> None:
    @server.feature(
        lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions(code_action_kinds=[lsp.CodeActionKind.QuickFix])
    )
    def fixed(params: lsp.CodeActionParams) -> list[lsp.CodeAction] | None:
        return server.ask(
            params.text_document.uri,
            lambda book, file: fixes(file, book, server.findings(book, file), params.range),
        )

    @server.feature(lsp.TEXT_DOCUMENT_PREPARE_RENAME)
    def prepared(params: lsp.PrepareRenameParams) -> lsp.Range | None:
        return server.ask(
            params.text_document.uri, lambda book, file: renameable(file, book, params.position)
        )

    @server.feature(lsp.TEXT_DOCUMENT_RENAME, lsp.RenameOptions(prepare_provider=True))
    def renamed(params: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
        place = server.books.at(params.text_document.uri)
        if place is None:
            return None
        try:
            found = rename(
                place[1], place[0], params.position, params.new_name,
                moves_files=_moves_files(server.client_capabilities),
            )  # fmt: skip
        except MisuseError as misuse:
            raise JsonRpcException(str(misuse), lsp.LSPErrorCodes.RequestFailed) from misuse
        if found.told:
            server.tell(found.told, lsp.MessageType.Info, again=True)
        return found.edit


def _moves_files(client: lsp.ClientCapabilities) -> bool:
    edits = client.workspace and client.workspace.workspace_edit
    known = (edits and edits.resource_operations) or ()
    return lsp.ResourceOperationKind.Rename in known


def _knows_snippets(client: lsp.ClientCapabilities) -> bool:
    completion_known = client.text_document and client.text_document.completion
    item = completion_known and completion_known.completion_item
    return bool(item and item.snippet_support)
