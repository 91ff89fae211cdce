"""What is written for a builder who asks for it: a project, an entry, seals. Nothing that is there is ever lost."""
