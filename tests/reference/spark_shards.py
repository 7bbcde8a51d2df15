"""Answers the lines of a manifest on standard input through PySpark, in so many shards, in order, on standard output.

    python3 tests/reference/spark_shards.py PROGRAM MANIFEST SHARDS

Needs PySpark (a package of PyPI) and Java. A cluster does the same with another master than local[*]; the recordings have to lie
where each machine finds them under the paths of the manifest.
"""

import os
import shlex
import sys

from pyspark import SparkConf, SparkContext

program, manifest, shards = sys.argv[1], sys.argv[2], int(sys.argv[3])
quiet = SparkConf().set("spark.ui.showConsoleProgress", "false").set("spark.ui.enabled", "false")
context = SparkContext("local[*]", "soundbead", conf=quiet)
context.setLogLevel("ERROR")
with open(manifest, encoding="utf-8") as file:
    lines = file.read().splitlines()
command = f"{shlex.quote(program)} batch - --jobs 1"
answers = context.parallelize(lines, shards).pipe(command, env=dict(os.environ), checkCode=True)
for answer in answers.collect():
    print(answer)
context.stop()
