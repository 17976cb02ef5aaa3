"""Run every benchmark."""

from benchmarks import pack_map, points, start

for benchmark in (points, pack_map, start):
    benchmark.main()
