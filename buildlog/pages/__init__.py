"""One module a page: figures in, frozen views of words and rounded numbers out. Rounding happens here and nowhere else."""
