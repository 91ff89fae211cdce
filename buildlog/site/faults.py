"""What went wrong with one file, in words; the caller turns it into a problem with a place."""

from buildlog.basics.frozen import frozen


@frozen
class Fault:
    """One thing that could not be done: the file it is about, what is wrong with it, and what helps."""

    shown: str
    words: str
    remedy: str
