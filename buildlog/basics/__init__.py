"""Words and numbers that know nothing of aircraft: quantities, money, dates, problems, names."""
