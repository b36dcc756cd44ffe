// Where the service stands under a prefix, its paths do too: this page is at <prefix>/v1/docs.
const prefix = new URL("..", location.href).pathname.slice(0, -1);

// validatorUrl is off: it is the one thing of Swagger UI that would call another host.
SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#api",
  deepLinking: true,
  validatorUrl: null,
  defaultModelsExpandDepth: 0,
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
  requestInterceptor: (request) => {
    const asked = new URL(request.url, location.href);
    if (prefix && !asked.pathname.startsWith(`${prefix}/`)) {
      request.url = `${asked.origin}${prefix}${asked.pathname}${asked.search}`;
    }
    // Swagger UI shows the lines of a batch as one piece of JSON text, and would send it so.
    if (asked.pathname.endsWith("/v1/layouts") && /^\s*"/.test(request.body)) {
      request.body = JSON.parse(request.body);
    }
    return request;
  },
});
