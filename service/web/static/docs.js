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
    // Swagger UI shows the lines of a batch as one piece of JSON text, and would send it so.
    if (request.url.endsWith("/v1/layouts") && /^\s*"/.test(request.body)) {
      request.body = JSON.parse(request.body);
    }
    return request;
  },
});
