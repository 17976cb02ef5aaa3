"""Run every benchmark."""

from benchmarks import compare, pack_map, points, recorder, start, sure

for benchmark in (points, pack_map, sure, compare, recorder, start):
    benchmark.main()
