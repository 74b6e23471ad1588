using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Bench.Speed;

/// <summary>The scans that speed is measured on: 12 bits, 1.5 codes rms of noise on the ramp, a tenth of a sweep for the way back.</summary>
internal static class SpeedWords
{
    /// <summary>Columns of the default setup.</summary>
    public const int Columns = 1_000;

    /// <summary>Bytes of the stretch that is drawn and then comes over and over.</summary>
    public static long PeriodBytes(int scansPerColumn) => DrawnScans(scansPerColumn) * 2 * sizeof(ushort);

    /// <summary>Channels with a blanking line, which is high from the end of a sweep to the start of the next.</summary>
    public static IReadOnlyList<ChannelRole> WithBlanking => [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking];

    /// <summary>As many scans as fit in so many bytes, whole sweeps of a drawn stretch of a million scans or more over and over.</summary>
    /// <param name="scansPerColumn">Scans to a column.</param>
    /// <param name="bytes">Bytes.</param>
    /// <param name="bits">Bits of a code.</param>
    /// <param name="noiseCodes">Noise on the ramp, codes rms of 12 bits.</param>
    /// <param name="roles">Channels; null are ramp and vertical.</param>
    public static ushort[] Fill(int scansPerColumn, long bytes, int bits = 12, double noiseCodes = 1.5, IReadOnlyList<ChannelRole>? roles = null)
    {
        double codes = Math.Pow(2, bits - 12);
        int sweep = Columns * scansPerColumn;
        long drawn = DrawnScans(scansPerColumn);
        SyntheticOptions options = new()
        {
            Seed = 20_261_125,
            Scans = drawn,
            KeepTruth = false,
            Bits = bits,
            Roles = roles ?? [ChannelRole.Ramp, ChannelRole.Vertical],
            Blanking = new BlankingModel { NoiseCodes = 20 * codes },
            Sweep = new SweepTiming { SweepScans = sweep, RetraceScans = sweep / 10.0, RestScans = 0 },
            Ramp = new RampModel { NoiseCodes = noiseCodes * codes },
            Verticals = [new VerticalModel { NoiseCodes = 20, Tones = [new Tone(20_000, -20), new Tone(38_000, -45)] }],
        };
        ushort[] once = Words.Read(options, (int)drawn);
        ushort[] words = new ushort[bytes / sizeof(ushort)];
        for (int at = 0; at < words.Length; at += once.Length)
            once.AsSpan(0, Math.Min(once.Length, words.Length - at)).CopyTo(words.AsSpan(at));
        return words;
    }

    /// <summary>Scans from the start of a sweep to that of the next; the first starts with the first scan.</summary>
    public static int PeriodScans(int scansPerColumn) => Columns * scansPerColumn * 11 / 10;

    /// <summary>Where the ramp of 12 bits starts and ends, in codes.</summary>
    public static (double Low, double High) RampCodes
    {
        get
        {
            RampModel ramp = new();
            return (ramp.Low * 4_095, ramp.High * 4_095);
        }
    }

    private static long DrawnScans(int scansPerColumn)
    {
        int period = PeriodScans(scansPerColumn);
        return (((1 << 20) / period) + 1L) * period;
    }

    /// <summary>The default setup, but for placement and converter.</summary>
    public static Setup SetupFor(Placement placement, int bits = 12) => new()
    {
        Scan = new ScanFormat { Bits = bits },
        Columns = new ColumnOptions { Placement = placement },
    };
}
