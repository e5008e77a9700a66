#!/bin/sh
# SPDX-License-Identifier: MIT
# A stranger without CMake. build_and_run.sh SOURCE PROGRAM COMPILER [FLAG…]; PKG_CONFIG_PATH leads the way.
set -eu
source=$1
program=$2
shift 2
flags=$(pkgconf --cflags --libs counterion)
# shellcheck disable=SC2086 # several words are meant
"$@" -std=c++20 "$source" $flags -o "$program"
"$program"
