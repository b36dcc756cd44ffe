"""Wire, publishing: the JSON Schemas and the OpenAPI document, made from the forms."""
