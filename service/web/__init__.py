"""Web: the HTTP service around `answer`. Only this room knows headers, settings and paths; the
status of each refusal is in `refusals`."""
