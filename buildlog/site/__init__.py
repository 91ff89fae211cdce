"""Views, pictures and theme become the files of a site."""
