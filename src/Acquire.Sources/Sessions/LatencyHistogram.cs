using System.Numerics;

namespace Acquire.Sources.Sessions;

/// <summary>Counts times in fixed buckets, eight to each doubling from 1 µs to about two minutes. Allocates nothing after it is built.</summary>
/// <remarks>One thread adds; any thread may read meanwhile and gets counts that are at most one entry behind.</remarks>
public sealed class LatencyHistogram
{
    private const int StepsPerOctave = 8;
    private const int Octaves = 27;

    private readonly long[] _counts = new long[(Octaves * StepsPerOctave) + 2];
    private long _count;
    private long _longestTicks;

    /// <summary>Buckets: one below 1 µs, eight to each doubling, one above the last.</summary>
    public int BucketCount => _counts.Length;

    /// <summary>Times counted.</summary>
    public long Count => Volatile.Read(ref _count);

    /// <summary>The longest time counted, exactly; 0 before the first.</summary>
    public TimeSpan Longest => TimeSpan.FromTicks(Volatile.Read(ref _longestTicks));

    /// <summary>Times counted in one bucket.</summary>
    /// <param name="bucket">0 to <see cref="BucketCount"/> - 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such bucket.</exception>
    public long CountOf(int bucket)
    {
        RequireBucket(bucket);
        return Volatile.Read(ref _counts[bucket]);
    }

    /// <summary>Time below which the times of a bucket lie; infinite for the last.</summary>
    /// <param name="bucket">0 to <see cref="BucketCount"/> - 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such bucket.</exception>
    public TimeSpan EndOf(int bucket)
    {
        RequireBucket(bucket);
        if (bucket == BucketCount - 1) return TimeSpan.MaxValue;
        int octave = bucket / StepsPerOctave, step = bucket % StepsPerOctave;

        // Up to the clock's next step: a time at the step before it is still within.
        long eighths = (TimeSpan.TicksPerMicrosecond << octave) * (StepsPerOctave + step);
        return TimeSpan.FromTicks((eighths + StepsPerOctave - 1) / StepsPerOctave);
    }

    /// <summary>Counts a time.</summary>
    /// <param name="time">0 or longer; shorter counts as 0.</param>
    public void Add(TimeSpan time)
    {
        long ticks = Math.Max(0, time.Ticks);
        ref long bucket = ref _counts[BucketOf(ticks)];

        // One writer: no interlocked addition is needed, only whole writes.
        Volatile.Write(ref bucket, bucket + 1);
        if (ticks > _longestTicks) Volatile.Write(ref _longestTicks, ticks);
        Volatile.Write(ref _count, _count + 1);
    }

    /// <summary>The time within which a share of all times lies, as the end of its bucket: at most an eighth too long.</summary>
    /// <param name="share">0 to 1; 0.99 is the time that one in a hundred exceeds.</param>
    /// <returns>0 before the first.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The share is not 0 to 1.</exception>
    public TimeSpan Within(double share)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(share);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(share, 1);
        long wanted = (long)Math.Ceiling(share * Count), seen = 0;
        if (wanted == 0) return TimeSpan.Zero;
        for (int bucket = 0; bucket < BucketCount; bucket++)
        {
            seen += CountOf(bucket);
            if (seen < wanted) continue;
            TimeSpan end = EndOf(bucket);
            return end < Longest ? end : Longest;
        }

        return Longest;
    }

    private void RequireBucket(int bucket)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(bucket);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(bucket, BucketCount);
    }

    private int BucketOf(long ticks)
    {
        long microseconds = ticks / TimeSpan.TicksPerMicrosecond;
        if (microseconds < 1) return 0;
        int octave = BitOperations.Log2((ulong)microseconds);
        if (octave >= Octaves) return BucketCount - 1;

        // In ticks, so that the steps of the first doublings are told apart too.
        long begin = (1L << octave) * TimeSpan.TicksPerMicrosecond;
        return (octave * StepsPerOctave) + (int)((ticks - begin) * StepsPerOctave / begin) + 1;
    }
}
