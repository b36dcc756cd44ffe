// validatorUrl is off: it is the one thing of Swagger UI that would call another host.
SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#api",
  deepLinking: true,
  validatorUrl: null,
  defaultModelsExpandDepth: 0,
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
});
