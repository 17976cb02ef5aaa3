"""Run every benchmark."""

from benchmarks import pack_map, points, recorder, start, sure

for benchmark in (points, pack_map, sure, recorder, start):
    benchmark.main()
