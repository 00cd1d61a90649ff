"""What each kind of entry asks for: one form per kind, read alike by commands and screens."""
