using Acquire.Recordings.Words;
using Acquire.Scales;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>Decides how the words of a file become codes: bits, offset, ranges.</summary>
internal static class WordMapping
{
    private const int WidestCode = 16;

    /// <summary>Builds the converter of a recording.</summary>
    /// <param name="handle">Open dataset, read through where ranges have to be found.</param>
    /// <param name="layout">Where the scans lie.</param>
    /// <param name="options">What was asked for, validated.</param>
    /// <param name="buffer">Buffer for a first pass.</param>
    /// <param name="bits">Bits of a code.</param>
    /// <param name="ranges">Word values at code 0 and the full code, per channel read; empty where words are codes.</param>
    /// <param name="cancel">Ends a first pass.</param>
    public static IWordConverter Build(
        SafeFileHandle handle, RecordingLayout layout, RecordingOptions options, byte[] buffer,
        out int bits, out IReadOnlyList<CodeVolts> ranges, CancellationToken cancel)
    {
        int[]? selected = Select(layout, options);
        int[] channels = selected ?? [.. Enumerable.Range(0, layout.Channels)];
        if (layout.Word.IsCode)
        {
            ranges = [];
            bits = options.Bits ?? layout.Bits ?? layout.Word.UsedBits;
            if (bits > layout.Word.UsedBits)
            {
                throw new RecordingException(RecordingFailure.OptionWrong,
                    $"{VisibleText.Whole(layout.DataPath)}: {bits} bits are stated, but its words have {layout.Word.UsedBits}; state {layout.Word.UsedBits} or fewer.");
            }

            return new CodeConverter(layout.Word, layout.Channels, selected, bits);
        }

        if (layout.HasFullScale && options.Ranges.Count == 0)
        {
            // The highest bits of each word are its code, as they are of a 16-bit word of the same kind of file.
            bits = options.Bits ?? Math.Min(WidestCode, layout.Word.UsedBits);
            ranges = [];
            CodeVolts fullScale = HighestBitsOf(layout.Word, bits);
            return WordConverters.Mapped(layout.Word, layout.Channels, channels, [.. Enumerable.Repeat(fullScale, channels.Length)], bits);
        }

        bool sawNotANumber = false;
        if (options.Ranges.Count == 0) ranges = Find(handle, layout, channels, buffer, out sawNotANumber, cancel);
        else if (options.Ranges.Count == channels.Length) ranges = options.Ranges;
        else if (options.Ranges.Count == 1) ranges = [.. Enumerable.Repeat(options.Ranges[0], channels.Length)];
        else
        {
            throw new RecordingException(RecordingFailure.OptionWrong,
                $"{VisibleText.Whole(layout.DataPath)}: {options.Ranges.Count} ranges are given for {channels.Length} channels; give one, or one per channel.");
        }

        // With one bit less there is a code for "no number" that the engine counts and excludes.
        bits = options.Bits ?? (sawNotANumber ? WidestCode - 1 : WidestCode);
        return WordConverters.Mapped(layout.Word, layout.Channels, channels, ranges, bits);
    }

    // The words of one code lie evenly around the word that the line gives it, so that rounding to the nearest code drops the lower bits and nothing lies outside.
    private static CodeVolts HighestBitsOf(WordFormat word, int bits)
    {
        long wordsPerCode = 1L << ((8 * word.Bytes) - bits);
        decimal zero = -(1L << ((8 * word.Bytes) - 1)) + ((wordsPerCode - 1) / 2m);
        return new CodeVolts(zero, zero + (wordsPerCode * ((1L << bits) - 1)));
    }

    private static int[]? Select(RecordingLayout layout, RecordingOptions options)
    {
        if (options.Channels.Count == 0) return null;
        foreach (int channel in options.Channels)
        {
            if (channel < 0 || channel >= layout.Channels)
            {
                throw new RecordingException(RecordingFailure.ChannelsWrong,
                    $"{VisibleText.Whole(layout.DataPath)} has channels 0 to {layout.Channels - 1}; channel {channel} is not there. Name one that is.");
            }
        }

        bool all = options.Channels.Count == layout.Channels && options.Channels.Index().All(c => c.Index == c.Item);
        return all ? null : [.. options.Channels];
    }

    private static CodeVolts[] Find(
        SafeFileHandle handle, RecordingLayout layout, int[] channels, byte[] buffer, out bool sawNotANumber, CancellationToken cancel)
    {
        IRangeFinder finder = WordConverters.Finder(layout.Word, layout.Channels, channels);
        int scanBytes = layout.Channels * layout.Word.Bytes;
        foreach (Segment segment in layout.Segments)
        {
            long at = segment.ByteOffset, end = at + (segment.Scans * scanBytes);
            while (at < end)
            {
                cancel.ThrowIfCancellationRequested();
                Span<byte> raw = buffer.AsSpan(0, (int)Math.Min(end - at, buffer.Length));
                FileOpening.ReadExactly(handle, raw, at, layout.DataPath);
                WordConverters.ToNativeOrder(layout.Word, raw);
                finder.Look(raw);
                at += raw.Length;
            }
        }

        sawNotANumber = finder.SawNotANumber;
        var ranges = new CodeVolts[channels.Length];
        for (int c = 0; c < channels.Length; c++) ranges[c] = RangeOf(finder.LowOf(c), finder.HighOf(c), layout, channels[c]);
        return ranges;
    }

    private static CodeVolts RangeOf(double low, double high, RecordingLayout layout, int channel)
    {
        if (low > high) return new CodeVolts(0, 1); // not one number in the whole channel
        const double Most = 1e27;                  // well inside a decimal, steps included
        if (low < -Most || high > Most)
        {
            throw new RecordingException(RecordingFailure.OptionWrong,
                $"{VisibleText.Whole(layout.DataPath)}: channel {channel} goes from {low} to {high}, which no voltage does; give the range of its words.");
        }

        decimal zero = (decimal)low, full = (decimal)high;

        // A line that stands still, or moves by less than a decimal of 15 digits shows, gets a range it can stand in.
        return new CodeVolts(zero, full > zero ? full : zero + Math.Max(1, Math.Abs(zero)));
    }
}
