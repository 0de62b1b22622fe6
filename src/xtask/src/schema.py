"""Checks schemas and files with PyPI's jsonschema: SCHEMA FILE, and so on."""

import json
import sys

from jsonschema import Draft202012Validator, FormatChecker


def read(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


paths = sys.argv[1:]
for schema_path, file_path in zip(paths[::2], paths[1::2], strict=True):
    schema, value = read(schema_path), read(file_path)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema, format_checker=FormatChecker())
    validator.validate(value)
    # A referee that lets everything pass is none.
    value["cards"][0]["id"] = "a b"
    if validator.is_valid(value):
        sys.exit(f"{schema_path}: a damaged {file_path} passes")
    print(f"{file_path}: fits {schema_path}")
