"""Wire, publishing: the forms as JSON Schemas and as an OpenAPI document."""
