"""Web: HTTP over answer. Only this room knows headers, settings and paths; the status of each
refusal stands in refusals."""
