#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs the package from the source tree into an empty environment and asks it one question.
# Needs python3-venv, a compiler, and the network for what pyproject.toml builds with.
set -euo pipefail

source_dir=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
python=${PYTHON:-/usr/bin/python3}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

if command -v ccache > /dev/null; then
  export CMAKE_CXX_COMPILER_LAUNCHER=ccache
fi
"$python" -m venv "$work/venv"
"$work/venv/bin/python" -m pip install --quiet "$source_dir"
cd "$work"  # so that nothing is imported from the source tree
printed=$("$work/venv/bin/python" -I -c \
  "import counterion; print(counterion.check('$source_dir/cli/samples/heel-cream.csv').window)")
printf '%s\n' "$printed"
[[ $printed == "Window("*" to "*"target "* ]]
