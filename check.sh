#!/usr/bin/env bash
# Every check, exactly as they run before a merge.
exec "$(dirname "${BASH_SOURCE[0]}")/.ci/run"
