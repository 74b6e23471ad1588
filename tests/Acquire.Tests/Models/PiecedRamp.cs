namespace Acquire.Tests.Models;

/// <summary>A ramp made of pieces one after the other, and where its sweeps are.</summary>
/// <remarks>Levels are shares of the way: 0 is where sweeps begin, 1 where they end.</remarks>
internal sealed class PiecedRamp(double low, double high, double noiseCodes, bool falls, Random random)
{
    public const int FullCode = 4_095;

    private readonly List<(double Begin, double End, double From, double To, bool Curved)> _pieces = [];
    private readonly List<(long Start, long End)> _sweeps = [];

    private double End => _pieces.Count == 0 ? 0 : _pieces[^1].End;

    /// <summary>First scan and one past the last of each sweep.</summary>
    public IReadOnlyList<(long Start, long End)> Sweeps => _sweeps;

    /// <summary>Scans of all pieces so far.</summary>
    public long ScanCount => (long)Math.Ceiling(End);

    /// <summary>Codes between the start and the end of a sweep.</summary>
    public double SpanCodes => (high - low) * FullCode;

    /// <summary>The code at a level, without noise.</summary>
    public double CodeAt(double level) => (low + ((high - low) * (falls ? 1 - level : level))) * FullCode;

    /// <summary>A code that takes the place of its neighbours, and how many in all are taken for it; 0 for none.</summary>
    public (int Code, double Width) WideCode { get; init; }

    /// <summary>What responses on the other channel add to sweeps: where each is, how much at its middle, below 0 where it takes from them, and how wide (the deviation of a normal curve), in shares of the way.</summary>
    public IReadOnlyList<(double At, double Height, double Width)> Crosstalk { get; init; } = [];

    /// <summary>Adds a flyback, a rest or what else is no sweep.</summary>
    public void Add(double scans, double from, double to, bool curved = false) => _pieces.Add((End, End + scans, from, to, curved));

    public void AddSweep(double scans)
    {
        _sweeps.Add(((long)Math.Ceiling(End), (long)Math.Ceiling(End + scans)));
        Add(scans, 0, 1);
    }

    /// <summary>Adds sweeps of one length, each with a flyback of a tenth and a rest of a fifth of it.</summary>
    public void AddPlain(int sweeps, double sweepScans)
    {
        Add(0.2 * sweepScans, 0, 0);
        for (int i = 0; i < sweeps; i++)
        {
            AddSweep(sweepScans);
            Add(0.1 * sweepScans, 1, 0);
            Add(0.2 * sweepScans, 0, 0);
        }
    }

    /// <summary>How far the start or end of a sweep of so many scans may be off, docs/sweeps.md.</summary>
    public double LimitScans(double sweepScans) =>
        Math.Max(Math.Max(2, 0.001 * sweepScans), 3 * noiseCodes / Math.Sqrt(Math.Max(1, 0.01 * sweepScans)) / (SpanCodes / sweepScans));

    public IEnumerable<ushort> Codes()
    {
        foreach (var piece in _pieces)
        {
            for (long scan = (long)Math.Ceiling(piece.Begin); scan < piece.End; scan++)
            {
                double share = (scan - piece.Begin) / (piece.End - piece.Begin);
                if (piece.Curved) share = (1 - Math.Exp(-4 * share)) / (1 - Math.Exp(-4));
                double level = piece.From + ((piece.To - piece.From) * share);
                yield return Converted(piece.To > piece.From ? level + Leaked(level) : level);
            }
        }
    }

    private double Leaked(double level)
    {
        double sum = 0;
        foreach ((double at, double height, double width) in Crosstalk)
        {
            double off = (level - at) / width;
            sum += height * Math.Exp(-off * off / 2);
        }

        return sum;
    }

    private ushort Converted(double level)
    {
        double noise = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        double code = CodeAt(level) + (noiseCodes * noise);
        if (Math.Abs(code - WideCode.Code) < WideCode.Width / 2) code = WideCode.Code;
        return (ushort)Math.Clamp(Math.Round(code), 0, FullCode);
    }
}
