"""A folder of text and pictures in, a logbook and the problems found in it out."""
