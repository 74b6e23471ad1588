using Acquire.Capture;
using Acquire.Harness.Inspect;
using Acquire.Harness.Runs;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Runs;

/// <summary>What is read ahead is what would be read, for everybody, wherever reading stops or fails.</summary>
public sealed class ReadAheadTests
{
    private const int ScansPerRead = 100;

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    public void Next_GapsAndBreaks_EachTakerSeesWhatTheReaderGives(int takers)
    {
        using ScratchFolder folder = new();
        string path = Record(folder);
        using RecordingReader reader = RecordingReader.Open(path);
        List<string> read = Read(reader);
        List<string>[] seen = new List<string>[takers];

        using (ReadAhead ahead = new(reader, ScansPerRead, takers))
        {
            Thread[] threads = [.. Enumerable.Range(0, takers).Select(taker => new Thread(() => seen[taker] = Take(ahead, taker)))];
            foreach (Thread thread in threads) thread.Start();
            foreach (Thread thread in threads) thread.Join();
        }

        Assert.All(seen, taken => Assert.Equal(read, taken));
        Assert.Contains("Gap 7 at 750", read);
        Assert.Contains("Break 0 at 1030", read);
    }

    [Fact]
    public void Next_TakersThatLeave_AreNotWaitedFor()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(Record(folder));
        using ReadAhead ahead = new(reader, ScansPerRead, takers: 3);

        ahead.Leave(0);
        ahead.Next(2, TestContext.Current.CancellationToken);
        ahead.Leave(2);

        Assert.Equal(Read(RecordingReader.Open(Path.Combine(folder.Path, "made"))), Take(ahead, 1));
    }

    [Fact]
    public void Next_UntilAScan_NothingBeyondItIsRead()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(Record(folder));

        using (ReadAhead ahead = new(reader, ScansPerRead, untilScan: 150))
        {
            Assert.Equal(100, ahead.Next(0, TestContext.Current.CancellationToken).Read.Scans);
            Assert.Equal(50, ahead.Next(0, TestContext.Current.CancellationToken).Read.Scans);
        }

        Assert.Equal(150, reader.Position);
    }

    [Fact]
    public void Next_FileThatBecameShorter_FailsWhereItEnds()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(folder.WriteRecording("made", Meta, scans: 1_000_000));
        using (FileStream file = new(reader.DataPath, FileMode.Open)) file.SetLength(4 * 300_000);
        using ReadAhead ahead = new(reader, scansPerRead: 100_000);

        for (int i = 0; i < 3; i++) Assert.Equal(100_000, ahead.Next(0, TestContext.Current.CancellationToken).Read.Scans);

        RecordingException exception = Assert.Throws<RecordingException>(() => ahead.Next(0, TestContext.Current.CancellationToken).Read);
        Assert.Equal(RecordingFailure.Shrunk, exception.Failure);
    }

    [Fact]
    public void Walk_VisitorThatFails_EndsTheWalkForAllWithItsFailure()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(folder.WriteRecording("made", Meta, scans: 1_000_000));
        Visitor[] visitors = [new(), new() { FailsAfter = 2 }, new()];

        InvalidOperationException exception =
            Assert.Throws<InvalidOperationException>(() => new RecordingWalk(reader).Walk(visitors, TestContext.Current.CancellationToken));

        Assert.Equal("enough", exception.Message);
    }

    [Fact]
    public void Walk_VisitorThatHasSeenEnough_OthersSeeAll()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(folder.WriteRecording("made", Meta, scans: 1_000_000));
        Visitor[] visitors = [new() { LeavesAfter = 3 }, new(), new() { LeavesAfter = 1 }];

        new RecordingWalk(reader).Walk(visitors, TestContext.Current.CancellationToken);

        Assert.Equal(1_000_000, visitors[1].Seen);
        Assert.True(visitors[0].Seen < 1_000_000 && visitors[2].Seen < visitors[0].Seen);
    }

    [Fact]
    public void Walk_Cancelled_Stops()
    {
        using ScratchFolder folder = new();
        using RecordingReader reader = RecordingReader.Open(Record(folder));

        Assert.ThrowsAny<OperationCanceledException>(() => new RecordingWalk(reader).Walk([new Visitor(), new Visitor()], new CancellationToken(canceled: true)));
    }

    private const string Meta =
        """{ "global": { "core:datatype": "ru16_le", "core:version": "1.2.5", "core:num_channels": 2 }, "captures": [ { "core:sample_start": 0 } ], "annotations": [] }""";

    private static string Record(ScratchFolder folder)
    {
        string path = Path.Combine(folder.Path, "made");
        using RecordingWriter writer = new(path, new RecordingWriterOptions { Bits = 12 });
        writer.Write(Words(750));
        writer.WriteGap(7);
        writer.Write(Words(280));
        writer.WriteBreak();
        writer.Write(Words(901));
        writer.Complete();
        return path;
    }

    private static ushort[] Words(int scans) => [.. Enumerable.Range(0, 2 * scans).Select(i => (ushort)(i * 37 % 4_096))];

    private static List<string> Read(RecordingReader reader)
    {
        List<string> found = [];
        ushort[] words = new ushort[2 * ScansPerRead];
        while (true)
        {
            long position = reader.Position;
            RecordingRead read = reader.Read(words);
            found.Add(Say(read, position, words.AsSpan(0, 2 * read.Scans)));
            if (read.Kind == RecordingReadKind.End) return found;
        }
    }

    private static List<string> Take(ReadAhead ahead, int taker)
    {
        List<string> found = [];
        while (true)
        {
            ScanPiece piece = ahead.Next(taker, CancellationToken.None);
            found.Add(Say(piece.Read, piece.Position, piece.Scans));
            if (piece.IsLast) return found;
        }
    }

    private static string Say(RecordingRead read, long position, ReadOnlySpan<ushort> scans) =>
        $"{read.Kind} {read.LostScans} at {position}" + (scans.IsEmpty ? "" : ": " + string.Join(' ', scans.ToArray()));

    private sealed class Visitor : IScanVisitor
    {
        private int _calls;

        public int LeavesAfter { get; init; } = int.MaxValue;

        public int FailsAfter { get; init; } = int.MaxValue;

        public long Seen { get; private set; }

        public bool Scans(ReadOnlySpan<ushort> scans)
        {
            if (++_calls == FailsAfter) throw new InvalidOperationException("enough");
            Seen += scans.Length / 2;
            return _calls < LeavesAfter;
        }

        public bool Lost(long lostScans, GapCause cause) => true;

        public bool Broken(GapCause cause) => true;
    }
}
