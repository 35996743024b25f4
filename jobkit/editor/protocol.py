"""The protocol's loop, where it leaves a question without an answer: each one gets an error that says why.

Source: Language Server Protocol 3.17, "Initialize Request" and "Shutdown Request".
"""

from __future__ import annotations

from typing import Any

from lsprotocol import types as lsp
from pygls.exceptions import (
    JsonRpcException,
    JsonRpcInvalidRequest,
    JsonRpcServerNotInitialized,
)
from pygls.protocol import LanguageServerProtocol

_NOTHING = lsp.SetTraceNotification(lsp.SetTraceParams(lsp.TraceValue.Off))
"""A message that asks for nothing, in the place of one that cannot be read."""


class Protocol(LanguageServerProtocol):
    """The protocol with an answer to questions that cannot be read, come too early or too late."""

    is_begun = False

    def structure_message(self, data: dict[str, Any]) -> Any:
        """Read a message; where a question cannot be read, say so and go on."""
        try:
            return super().structure_message(data)
        except JsonRpcException as error:
            if "id" in data and "method" in data:
                self._send_response(data["id"], None, error.to_response_error())
            return _NOTHING

    def handle_message(self, message: Any) -> None:
        """Pass on a message; a question before `initialize`, or after `shutdown`, is refused."""
        method, asked = getattr(message, "method", ""), getattr(message, "id", None)
        if isinstance(message, lsp.InitializeRequest):
            self.is_begun = True
            if (
                message.params.capabilities.general
            ):  # UTF-16 is what every client knows, and what `Text` counts
                message.params.capabilities.general.position_encodings = None
        refusal = self._refusal()
        if refusal and method and asked is not None:
            self._send_response(asked, None, refusal.to_response_error())
            return
        super().handle_message(message)

    def _refusal(self) -> JsonRpcException | None:
        if not self.is_begun:
            return JsonRpcServerNotInitialized("the first message has to be initialize")
        return JsonRpcInvalidRequest("the server was shut down") if self._shutdown else None
