"""Papers: frozen values in, text or bytes out. Nothing here knows a room, a clock or a folder."""
