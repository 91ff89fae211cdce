"""Preview: the site served on this machine alone, built anew when a file is saved, its problems told on the page."""
