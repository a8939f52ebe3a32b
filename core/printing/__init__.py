"""A part's record, and the job card for the machine, on paper. Bytes go out; no file is written here."""
