"""What a builder may write: one module a kind of file, typed, each record with the place it stands at."""
