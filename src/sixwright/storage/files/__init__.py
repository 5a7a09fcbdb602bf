"""What a disk does, step by step: locks, the journal, replacing several files as one."""
