#!/bin/sh
# Answers 400 lines whole and in four shards through PySpark's local mode, and holds the answers against each other: sh tests/spark.sh
# Left out, saying so, where there is no PySpark or no Java (pip install pyspark; Debian: default-jre-headless). PYTHON names another
# Python than python3.
set -eu
cd "$(dirname "$0")/.."
PYTHON=${PYTHON:-python3}
export PYTHON
if ! "$PYTHON" -c 'import pyspark' 2>/dev/null; then
    echo "spark.sh: left out: $PYTHON has no pyspark"
    exit 0
fi
if ! command -v java >/dev/null; then
    echo "spark.sh: left out: there is no java"
    exit 0
fi
exec cargo test --locked --workspace --test cli -- --ignored --nocapture spark
