using System.Collections.Concurrent;
using Acquire.Capture;
using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Link;
using Acquire.Harness.Instrument;
using Acquire.Harness.Tests.Doubles;
using Acquire.Link;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>For every finding a recording that raises it.</summary>
internal static class FindingRaisers
{
    private static readonly Bench Clean = new();

    // 4 000 scans of sweep, 200 of flyback, which rings by a twelfth of the way, and 600 of rest.
    private static readonly Bench Ringing = Clean with { Sweeps = 8, RampLow = 600, RestScans = 600, OnRamp = scan => Swing(((scan - 600) % 4_800) - 4_200) };

    public static IReadOnlyDictionary<string, Func<InspectionFacts>> All { get; } = new Dictionary<string, Func<InspectionFacts>>
    {
        [FindingName.RampClipped] = (Clean with { RampHigh = 4_400 }).Look,
        [FindingName.RampTooSmall] = (Clean with { RampLow = 2_000, RampHigh = 2_600 }).Look,
        [FindingName.RampAbsent] = (Clean with { RampLow = 2_000, RampHigh = 2_000 }).Look,
        [FindingName.RampDroops] = (Clean with { Course = x => (1 - Math.Exp(-x)) / (1 - Math.Exp(-1)) }).Look,
        [FindingName.RampBowed] = (Clean with { Course = x => (Math.Exp(x) - 1) / (Math.E - 1) }).Look,
        [FindingName.RampCarriesVertical] = (Clean with { Change = Leak }).Look,
        [FindingName.RampRipple] = (Clean with { OnRamp = Wave(20, 50) }).Look,
        [FindingName.RampStaircase] = (Clean with { Course = x => Math.Floor(x * 200) / 200, RampNoise = 0.5 }).Look,
        [FindingName.RampSpikes] = (Clean with { OnRamp = scan => scan % 3_777 == 2_000 ? 300 : 0 }).Look,
        [FindingName.RampNoisy] = (Clean with { RampNoise = 6 }).Look,
        [FindingName.RampFalls] = (Clean with { RampLow = 3_900, RampHigh = 200 }).Look,
        [FindingName.ManualSuggested] = ByHand,
        [FindingName.RampFollowsVertical] = (Clean with { Change = RepeatVertical }).Look,
        [FindingName.RampIsHum] = (Clean with { RampLow = 2_000, RampHigh = 2_000, OnRamp = Wave(900, 50) }).Look,
        [FindingName.ChannelsSwapped] = (Clean with { Change = Swap }).Look,
        [FindingName.AxisMoved] = (Clean with { Sweeps = 16, OnRamp = scan => scan > 30_000 ? 60 : 0 }).Look,
        [FindingName.EdgesOffRamp] = () => Clean.Look(Clean.Setup with { Sweep = new SweepOptions { Edges = new SweepEdges(200, 4_090) } }),
        [FindingName.DirectionDoubtful] = () => Clean.Look(Clean.Setup with { Sweep = new SweepOptions { Direction = RampDirection.Falling } }),
        [FindingName.VerticalClipped] = (Clean with { Signal = x => 500 + (6_000 * Math.Exp(-Math.Pow((x - 0.4) / 0.05, 2))) }).Look,
        [FindingName.VerticalFlat] = (Clean with { Signal = _ => 1_000 }).Look,
        [FindingName.VerticalHum] = (Clean with { OnVertical = Wave(40, 50), Sweeps = 12 }).Look,
        [FindingName.VerticalFollowsFlyback] = (Clean with { Unblanked = true }).Look,
        // 4 000 + 200 + 200 scans are 11 turns of 50 Hz at 20 000 scans a second.
        [FindingName.LineLockedSweep] = (Clean with { RestScans = 200, OnRamp = Wave(20, 50) }).Look,
        [FindingName.SweepsAborted] = (Clean with { FlyBackAt = sweep => sweep == 3 ? 0.6 : 1 }).Look,
        [FindingName.FlybackRings] = Ringing.Look,
        [FindingName.SweepTimeVaries] = (Clean with { Stretch = sweep => sweep == 3 ? 1.1 : 1 }).Look,
        [FindingName.NoCompleteSweep] = (Clean with { Sweeps = 1, FlyBackAt = _ => 0.7, RestScans = 0, RetraceScans = 0 }).Look,
        [FindingName.ColumnsWithoutScans] = (Clean with { SweepScans = 700 }).Look,
        [FindingName.FewScansPerColumn] = (Clean with { SweepScans = 1_500 }).Look,
        [FindingName.SweepsPause] = (Clean with { Sweeps = 12, Change = LeadOff }).Look,
        [FindingName.Gaps] = (Clean with { Gaps = [(7_000, 500)] }).Look,
        [FindingName.Breaks] = (Clean with { Gaps = [(7_000, null)] }).Look,
        [FindingName.CodesBeyondBits] = (Clean with { Change = words => words[5_001] = 9_000 }).Look,
        [FindingName.BitsUnused] = (Clean with { Change = words => { for (int i = 0; i < words.Length; i++) words[i] &= 0xFFFC; } }).Look,
        [FindingName.ScanRateUnknown] = (Clean with { ScanRateHz = null }).Look,
        [FindingName.RecordingTruncated] = () => Clean.Look(Clean.Setup, new RecordingFacts { Name = "bench", Truncated = true }),
        [FindingName.NotANumber] = () => Clean.Look(Clean.Setup, new RecordingFacts { Name = "bench", NotANumber = 2, FirstNotANumber = 71 }),
        [FindingName.LinkDamaged] = () => OverLink("synth", new() { [LineFault.BitErrors] = 1e-4 }),
        [FindingName.LinkNoFrames] = () => Clean.Look() with { Link = LookAt(new byte[500]) },
        [FindingName.LinkRepeats] = () => OverLink("synth", new() { [LineFault.Duplicates] = 0.1 }),
        [FindingName.LinkResets] = () => OverLink("synth", new() { [LineFault.Resets] = 0.1 }),
        [FindingName.LinkTotalDiffers] = () => OverLink("late", []),
        [FindingName.LinkUnknown] = () => OverLink("later", []),
        [FindingName.BlankingFound] = () => WithLine(ChannelRole.Auxiliary, blanked => blanked ? 3_000 : 40),
        [FindingName.BlankingFlat] = () => WithLine(ChannelRole.Blanking, _ => 40),
    };

    private static readonly ConcurrentDictionary<string, InspectionFacts> Seen = new(StringComparer.Ordinal);

    /// <summary>What is seen in the recording that raises a finding; looked at once.</summary>
    public static InspectionFacts Look(string name) => Seen.GetOrAdd(name, n => All[n]());

    private static Func<long, double> Wave(double amplitude, double hertz) =>
        scan => amplitude * Math.Sin(2 * Math.PI * hertz * scan / 20_000);

    /// <summary>How far a flyback that rings is off its rest, so many scans behind its end.</summary>
    public static double Swing(long scansBehind) =>
        scansBehind < 0 ? 0 : -280 * Math.Exp(-scansBehind / 150.0) * Math.Sin(2 * Math.PI * scansBehind / 125);

    private static void Swap(ushort[] words)
    {
        for (int i = 0; i < words.Length; i += 2) (words[i], words[i + 1]) = (words[i + 1], words[i]);
    }

    // The ramp's input is open: the converter repeats 70 % of what it read before.
    private static void RepeatVertical(ushort[] words)
    {
        for (int i = 0; i < words.Length; i += 2) words[i] = (ushort)(words[i + 1] * 7 / 10);
    }

    // The converter still holds a hundredth of what it read before.
    private static void Leak(ushort[] words)
    {
        for (int i = 0; i < words.Length; i += 2) words[i] += (ushort)(words[i + 1] / 100);
    }

    // The ramp's lead is off for half of the recording.
    private static void LeadOff(ushort[] words)
    {
        for (int i = words.Length / 8 * 2; i < words.Length * 6 / 8; i += 2) words[i] = 2_000;
    }

    // Turned forth, held, back a little, forth again.
    private static InspectionFacts ByHand()
    {
        double[] stops = [400, 900, 900, 700, 1_900, 1_900, 1_500, 2_400, 2_300, 3_400, 3_400, 2_900];
        Bench bench = Clean with { Sweeps = 1, SweepScans = 60_000, RestScans = 0, RetraceScans = 0, RampLow = 0, RampHigh = 1, Course = x => x * 0 };
        return (bench with
        {
            OnRamp = scan =>
            {
                double at = scan / 60_000.0 * (stops.Length - 1);
                int stop = Math.Min((int)at, stops.Length - 2);
                double share = at - stop;
                return stops[stop] + ((stops[stop + 1] - stops[stop]) * share * share * (3 - (2 * share)));
            },
            OnVertical = scan => 300 * Math.Sin(scan / 900.0),
        }).Look();
    }

    // A bench's bytes: as they are, heard only from the fourth frame on, or with a frame of a kind that nobody knows.
    private static InspectionFacts OverLink(string how, Dictionary<LineFault, double> faults)
    {
        FrameBuffer bytes = new();
        InstrumentVoice voice = new(new SyntheticOptions { Sweeps = 3 }, new LinkEncoderOptions(),
            new FaultyLine(new LineFaultOptions { Rates = faults }, bytes, new LineTruth()));
        voice.Describe();
        if (how is "later")
        {
            LinkHeader header = new((LinkFrameKind)99, 1, 0, 0);
            byte[] frame = new byte[LinkFrame.MostWireBytes(0)];
            frame.AsSpan(0, LinkFrame.Write(header, [], frame)).CopyTo(bytes.GetSpan(frame.Length));
            bytes.Advance(LinkFrame.Write(header, [], frame));
        }

        for (int frame = 0; voice.Speak(); frame++)
            if (how is "late" && frame == 3) bytes.Clear();
        voice.End();
        return Clean.Look() with { Link = LookAt(bytes.Written.ToArray()) };
    }

    private static LinkLook LookAt(byte[] bytes)
    {
        using ScratchFolder folder = new();
        string path = Path.Combine(folder.Path, "bytes.raw");
        File.WriteAllBytes(path, bytes);
        using LinkFile file = LinkFile.Open(path);
        return LinkLook.At(file, 100, 100, CancellationToken.None);
    }

    /// <summary>The blanking line hides a twentieth of every sweep.</summary>
    public static InspectionFacts BlankedOnItsWay() => WithLine(ChannelRole.Blanking, blanked => blanked ? 3_000 : 40, hiddenScans: 200);

    private static InspectionFacts WithLine(ChannelRole role, Func<bool, int> code, int hiddenScans = 0)
    {
        ushort[] two = Clean.Words(), three = new ushort[two.Length / 2 * 3];
        for (int i = 0; i < two.Length / 2; i++)
        {
            three[3 * i] = two[2 * i];
            three[(3 * i) + 1] = two[(2 * i) + 1];
            three[(3 * i) + 2] = (ushort)code(i % 4_500 is < 300 or >= 4_300 || (i % 4_500) - 1_500 is >= 0 and var hidden && hidden < hiddenScans);
        }

        Setup setup = Clean.Setup with { Scan = Clean.Setup.Scan with { Roles = [ChannelRole.Ramp, ChannelRole.Vertical, role] } };
        return Inspection.Look(new MemoryWalk(three, 3, []), new RecordingFacts { Name = "bench" }, setup, CancellationToken.None);
    }
}
