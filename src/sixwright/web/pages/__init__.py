"""One module a page: a frozen context and nothing else."""
