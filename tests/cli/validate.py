#!/usr/bin/python3
"""Holds YAML files against a JSON Schema: validate.py SCHEMA FILE...; exits with 1 when one is refused.

A public validator (python3-jsonschema) decides. Numbers are read as evener reads them: 1e3 is a number here, which plain
YAML 1.1 takes for a text, and yes, no, on and off are texts.
"""

import json
import re
import sys

import jsonschema
import yaml


class Loader(yaml.SafeLoader):
    """Plain decimal numbers and true/false only."""


Loader.yaml_implicit_resolvers = {}
NUMBER = re.compile(r"^[-+]?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?$")
Loader.add_implicit_resolver("tag:yaml.org,2002:float", NUMBER, list("-+0123456789"))
Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(true|false)$"), list("tf"))


def load(path):
    with open(path, encoding="utf-8") as file:
        return yaml.load(file, Loader)


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft7Validator.check_schema(schema)
    validator = jsonschema.Draft7Validator(schema)
    refused = 0
    for path in sys.argv[2:]:
        errors = list(validator.iter_errors(load(path)))
        if errors:
            refused += 1
            where = "/".join(str(part) for part in errors[0].absolute_path)
            print(f"{path}: {where}: {errors[0].message[:200]}")
    return 1 if refused else 0


if __name__ == "__main__":
    sys.exit(main())
