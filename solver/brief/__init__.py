"""The brief: its keys, its reader, what each role means by default, and the plan it becomes."""
