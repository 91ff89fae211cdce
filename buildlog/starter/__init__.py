"""New files for a builder who asks for them: a project, an entry. Nothing that is there is ever written over."""
