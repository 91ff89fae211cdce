"""What is worked out: pure sums over a logbook, exact, each made of lines that know their entry."""
