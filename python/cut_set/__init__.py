"""The set for the cutting table, read by independent libraries: drawing of the tracks, program, dry run."""
