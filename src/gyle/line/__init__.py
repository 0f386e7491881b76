"""The process: what each vessel holds, what is done to it, and what comes out, for every draw at once."""
