"""The jobs of the screens, one class for each mode; `RoomJobs` is all of them together."""
