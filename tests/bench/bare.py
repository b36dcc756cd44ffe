"""The yardstick for rates: one Flask route that returns a stored reply, and nothing else."""

from __future__ import annotations

import os
from pathlib import Path

from flask import Flask, Response


def create_bare() -> Flask:
    """An app whose one route returns the bytes of the file named by BENCH_REPLY."""
    app = Flask("bare", static_folder=None)
    stored = Path(os.environ["BENCH_REPLY"]).read_bytes()

    @app.post("/v1/layout")
    def layout() -> Response:
        return Response(stored, mimetype="application/json")

    return app
