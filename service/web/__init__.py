"""Web: HTTP over answer. Only this room knows statuses, headers and settings."""
