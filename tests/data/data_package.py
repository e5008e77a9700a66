# SPDX-License-Identifier: MIT
"""Says what the frictionless library finds wrong with a data package; exit status 1 when anything.

usage: data_package.py DATAPACKAGE.JSON
"""
import sys

from frictionless import Package

report = Package(sys.argv[1]).validate()
for task in report.tasks:
    print(f"{task.name}: {task.stats.get('rows')} rows, {'valid' if task.valid else 'NOT VALID'}")
for name, row, field, note in report.flatten(["name", "rowNumber", "fieldName", "note"]):
    print(f"{name}, row {row}, {field}: {note}")
sys.exit(not report.valid)
