"""Run every benchmark."""

from benchmarks import choose, compare, pack_map, points, recorder, start, sure

for benchmark in (points, pack_map, sure, choose, compare, recorder, start):
    benchmark.main()
