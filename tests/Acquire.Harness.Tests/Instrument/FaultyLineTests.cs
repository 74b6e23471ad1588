using Acquire.Capture;
using Acquire.Harness.Instrument;
using Acquire.Link;
using CsCheck;

namespace Acquire.Harness.Tests.Instrument;

/// <summary>The line's truth against the decoder: what the line says it left alone must arrive, what it says it damaged must not.</summary>
public sealed class FaultyLineTests
{
    // The order is that of LineFault. Late frames are not delivered though they are whole, so reordering and resets stand apart.
    private static readonly LineFault[] Damaging = [LineFault.BitErrors, LineFault.Insertions, LineFault.Deletions, LineFault.Bursts, LineFault.Garbage];

    [Fact]
    public void DamagedFrames_AreNeverAccepted_AndAllOthersAre() =>
        Gen.Select(Gen.Int[1, 1_000_000], Gen.Double[-6, -2], Gen.Int[0, 31]).Sample((seed, exponent, mask) =>
        {
            double rate = Math.Pow(10, exponent);
            LineFaultOptions options = new()
            {
                Seed = seed,
                Rates = Damaging.Where((_, i) => (mask & (1 << i)) != 0).ToDictionary(f => f, _ => rate),
            };
            (LineTruth truth, Verdicts verdicts, long decodedLost) = Send(options, frames: 400);

            return verdicts.Accepted == truth.Frames - truth.FramesDamaged && decodedLost + verdicts.Scans <= truth.Scans;
        }, iter: 60);

    [Theory]
    [InlineData(LineFault.BitErrors, 1e-4)]
    [InlineData(LineFault.Insertions, 1e-4)]
    [InlineData(LineFault.Deletions, 1e-4)]
    [InlineData(LineFault.Bursts, 0.02)]
    [InlineData(LineFault.Garbage, 0.02)]
    public void EachFault_HappensAsOftenAsAsked(object fault, double rate)
    {
        LineFault which = (LineFault)fault;
        (LineTruth truth, _, _) = Send(new LineFaultOptions { Seed = 3, Rates = new Dictionary<LineFault, double> { [which] = rate } }, frames: 2_000);

        // Six standard deviations of a count; of garbage only the first of up to four frames counts.
        double chances = which switch { LineFault.BitErrors => truth.Bytes * 8, LineFault.Insertions or LineFault.Deletions => truth.Bytes, _ => truth.Frames };
        double expected = chances * rate;
        double slack = (6 * Math.Sqrt(expected)) + (which == LineFault.Garbage ? 0.1 * expected : 0);
        Assert.InRange(truth.CountOf(which), expected - slack, expected + slack);
        Assert.True(truth.FramesDamaged > 0);
    }

    [Fact]
    public void Duplicates_AreSentTwice_AndReorderedFramesChangePlaces()
    {
        (LineTruth twice, Verdicts seenTwice, _) = Send(new LineFaultOptions { Rates = new Dictionary<LineFault, double> { [LineFault.Duplicates] = 1 } }, frames: 50);
        (LineTruth swapped, Verdicts seenSwapped, _) = Send(new LineFaultOptions { Rates = new Dictionary<LineFault, double> { [LineFault.Reordering] = 1 } }, frames: 50);

        Assert.Equal(50, twice.CountOf(LineFault.Duplicates));
        Assert.Equal(50, seenTwice.Sequences.Count / 2);
        Assert.Equal([.. Enumerable.Range(0, 50).SelectMany(i => (uint[])[(uint)i, (uint)i])], seenTwice.Sequences);
        Assert.Equal(25, swapped.CountOf(LineFault.Reordering));
        Assert.Equal([.. Enumerable.Range(0, 25).SelectMany(i => (uint[])[(uint)((2 * i) + 1), (uint)(2 * i)])], seenSwapped.Sequences);
    }

    [Fact]
    public void SameSeed_GivesTheSameBytes()
    {
        LineFaultOptions options = new() { Seed = 9, Rates = Damaging.ToDictionary(f => f, _ => 1e-3) };

        Assert.Equal(Bytes(options), Bytes(options));
        Assert.NotEqual(Bytes(options), Bytes(options with { Seed = 10 }));
    }

    private static byte[] Bytes(LineFaultOptions options)
    {
        FrameBuffer output = new();
        Fill(new FaultyLine(options, output, new LineTruth()), frames: 100);
        return output.Written.ToArray();
    }

    private static (LineTruth Truth, Verdicts Verdicts, long Lost) Send(LineFaultOptions options, int frames)
    {
        FrameBuffer output = new();
        LineTruth truth = new();
        Fill(new FaultyLine(options, output, truth), frames);
        Verdicts verdicts = new();
        LinkDecoder decoder = new(new Doubles.HeardStream(), new LinkDecoderOptions { Observer = verdicts });
        decoder.Take(output.Written);
        decoder.Complete();
        verdicts.Scans = decoder.ScansDelivered;
        return (truth, verdicts, decoder.ScansLost);
    }

    private static void Fill(FaultyLine line, int frames)
    {
        FrameBuffer frame = new();
        LinkEncoder encoder = new(new LinkEncoderOptions { FrameBytes = 128 });
        ushort[] scans = new ushort[2 * encoder.ScansPerFrame];
        for (int i = 0; i < frames; i++)
        {
            for (int w = 0; w < scans.Length; w++) scans[w] = (ushort)((i + (w * 37)) & 0xFFF);
            SentFrame sent = new(LinkFrameKind.Scans12, encoder.Run, encoder.Sequence, encoder.Position, encoder.ScansPerFrame);
            encoder.WriteScans(scans, frame);
            line.Send(sent, frame.Written);
            frame.Clear();
        }

        line.Flush();
    }

    private sealed class Verdicts : ILinkObserver
    {
        public long Accepted { get; private set; }

        public long Scans { get; set; }

        public List<uint> Sequences { get; } = [];

        public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
        {
            if (report.Verdict == LinkVerdict.Accepted) Accepted++;
            if (report.Header is { } header) Sequences.Add(header.Sequence);
        }
    }
}
