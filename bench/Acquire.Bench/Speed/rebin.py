# What the same columns cost with numpy: count, sum, highest and lowest of each. A million scans at a time are sorted by column, which
# for 16-bit keys is a radix sort, and reduced from column to column. Goes once through the words for each line on standard input.
import sys

import numpy

SCANS = 1 << 20


def rebin(words, column_of_code):
    columns = int(column_of_code.max()) + 1
    count = numpy.zeros(columns, numpy.int64)
    total = numpy.zeros(columns, numpy.int64)
    highest = numpy.zeros(columns, numpy.uint16)
    lowest = numpy.full(columns, 65535, numpy.uint16)
    for at in range(0, len(words), 2 * SCANS):
        ramp, vertical = words[at:at + 2 * SCANS:2], words[at + 1:at + 2 * SCANS:2]
        column = column_of_code[ramp]
        order = numpy.argsort(column, kind="stable")
        order = order[numpy.count_nonzero(column < 0):]
        column, vertical = column[order], vertical[order]
        first = numpy.flatnonzero(numpy.diff(column, prepend=-1))
        filled = column[first]
        count[filled] += numpy.diff(first, append=len(column))
        total[filled] += numpy.add.reduceat(vertical, first, dtype=numpy.int64)
        highest[filled] = numpy.maximum(highest[filled], numpy.maximum.reduceat(vertical, first))
        lowest[filled] = numpy.minimum(lowest[filled], numpy.minimum.reduceat(vertical, first))
    return count, total, highest, lowest


words = numpy.fromfile(sys.argv[1], numpy.uint16)
table = numpy.fromfile(sys.argv[2], numpy.int32).astype(numpy.int16)
print("ready", flush=True)
for _ in sys.stdin:
    print(int(rebin(words, table)[0].sum()), flush=True)
