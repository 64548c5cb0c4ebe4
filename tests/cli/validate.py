#!/usr/bin/python3
"""Holds YAML files against JSON Schemas: validate.py SCHEMA FILE... [-- SCHEMA FILE...]; exits with 1 when one is refused.

With --refused as the first argument it exits with 1 when one is taken, and names each that is.
A public validator (python3-jsonschema) decides. Numbers are read as evener reads them: 1e3 is a number here, which plain
YAML 1.1 takes for a text, and yes, no, on and off are texts.
"""

import json
import re
import sys

import jsonschema
import yaml


class Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
    """Plain decimal numbers and true/false only."""


Loader.yaml_implicit_resolvers = {}
NUMBER = re.compile(r"^[-+]?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?$")
Loader.add_implicit_resolver("tag:yaml.org,2002:float", NUMBER, list("-+0123456789"))
Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(true|false)$"), list("tf"))


def load(path):
    with open(path, encoding="utf-8") as file:
        return yaml.load(file, Loader)


def groups(arguments):
    """Of arguments parted by --."""
    group = []
    for argument in [*arguments, "--"]:
        if argument != "--":
            group.append(argument)
        elif group:
            yield group
            group = []


def hold(schema_path, paths, wants_refused):
    """How many of the files are not as they should be."""
    with open(schema_path, encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft7Validator.check_schema(schema)
    validator = jsonschema.Draft7Validator(schema)
    wrong = 0
    for path in paths:
        error = next(validator.iter_errors(load(path)), None)
        if (error is not None) == wants_refused:
            continue
        wrong += 1
        if error:
            where = "/".join(str(part) for part in error.absolute_path)
            print(f"{path}: {where}: {error.message[:200]}")
        else:
            print(f"{path}: the schema takes it")
    return wrong


def main():
    arguments = sys.argv[1:]
    wants_refused = arguments[:1] == ["--refused"]
    held = list(groups(arguments[wants_refused:]))
    if not held or any(len(group) < 2 for group in held):
        sys.exit("validate.py: a schema and at least one file are needed, each time")
    return 1 if sum(hold(group[0], group[1:], wants_refused) for group in held) else 0


if __name__ == "__main__":
    sys.exit(main())
