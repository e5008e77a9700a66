#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Validates reference-tables as a Tabular Data Package with the frictionless library, in an environment
# of its own under build/. Needs python3-venv and the network.
set -euo pipefail

source_dir=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
python=${PYTHON:-/usr/bin/python3}
environment=$source_dir/build/data-package/venv
requirements=$source_dir/tests/packages/data-requirements.txt

if ! cmp --silent "$requirements" "$environment/requirements.txt"; then
  rm -rf "$environment"
  "$python" -m venv "$environment"
  "$environment/bin/python" -m pip install --quiet --requirement "$requirements"
  cp "$requirements" "$environment/requirements.txt"
fi
"$environment/bin/python" "$source_dir/tests/data/data_package.py" "$source_dir/reference-tables/datapackage.json"
