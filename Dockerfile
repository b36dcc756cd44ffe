# The same install step as deploy/serve, with the Python that CI runs, into an image that runs as
# nobody in particular on a root that need not be writable:
#   docker build -t guards .
#   docker run --read-only --cap-drop ALL -p 127.0.0.1:8080:8080 guards
FROM python:3.11-slim AS build
WORKDIR /app
COPY deploy/install deploy/requirements.lock deploy/
RUN deploy/install /app/.venv deploy/requirements.lock
COPY deploy/gunicorn.conf.py deploy/
COPY schema schema
COPY service service
# Whatever the umask of who checked it out, anyone may read it.
RUN .venv/bin/python -m compileall -q service && chmod -R a+rX .

FROM python:3.11-slim
WORKDIR /app
COPY --from=build /app /app
ENV HOST=0.0.0.0 \
    PORT=8080 \
    GUARDS_DRAIN=5 \
    PYTHONDONTWRITEBYTECODE=1 \
    PYTHONUNBUFFERED=1
USER 10001:10001
EXPOSE 8080
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=15s --timeout=3s --start-period=10s --retries=3 \
    CMD [".venv/bin/python", "-c", "import os, urllib.request as r; r.build_opener(r.ProxyHandler({})).open(f\"http://127.0.0.1:{os.environ['PORT']}/health/live\", timeout=2)"]
CMD [".venv/bin/python", "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]
