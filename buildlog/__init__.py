"""buildlog: a project log kept in plain files, compiled into a site with running totals."""

import os

VERSION = "0.1.0"
# To look for extensions of pydantic among all that is installed takes longer than to define the records without any.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
