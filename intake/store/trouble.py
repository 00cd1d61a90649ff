from __future__ import annotations


class RoomTrouble(Exception):
    """The room cannot be opened, read or written: a code, a sentence, and the way on."""

    def __init__(self, code: str, text: str, hint: str = "") -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.hint = hint
