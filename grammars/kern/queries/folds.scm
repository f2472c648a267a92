; What an editor may fold: a bar, and a run of reference records.
[(measure) (reference_records)] @fold
