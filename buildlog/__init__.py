"""buildlog: a project log kept in plain files, compiled into a site with running totals."""

VERSION = "0.1.0"
