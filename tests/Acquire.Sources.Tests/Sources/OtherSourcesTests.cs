using System.Net;
using System.Net.Sockets;
using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Streams;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sources;

public class OtherSourcesTests
{
    [Fact]
    public void Tcp_NobodyListens_SaysRefused()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        int port = ((IPEndPoint)listener.LocalEndpoint).Port;
        listener.Stop();

        SourceException exception = Assert.Throws<SourceException>(() => Run(new TcpSource("127.0.0.1", port, null, WordBytes.Decoder)));

        Assert.Equal(SourceFailure.Refused, exception.Failure);
        Assert.StartsWith($"tcp:127.0.0.1:{port}: ", exception.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Tcp_HostHasNoSuchName_SaysUnknown()
    {
        // .invalid never has addresses (RFC 2606).
        SourceException exception = Assert.Throws<SourceException>(() => Run(new TcpSource("bench.invalid", 4_000, null, WordBytes.Decoder)));

        Assert.Equal(SourceFailure.HostUnknown, exception.Failure);
    }

    [Fact]
    public void Tcp_ConnectionIsReset_IsAFaultBehindTheLastScan()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        WatchedReceiver receiver = new();
        using SourceRun run = new(new TcpSource("127.0.0.1", ((IPEndPoint)listener.LocalEndpoint).Port, null, WordBytes.Decoder), receiver);
        using (Socket peer = listener.AcceptSocket())
        {
            peer.Send(WordBytes.Of([1, 2]));
            receiver.WaitForWords(2);
            peer.LingerState = new LingerOption(true, 0);
        }

        run.WaitForEnd();

        Assert.Equal(SourceFailure.ConnectionLost, Assert.IsType<SourceException>(run.Fault).Failure);
        Assert.Equal([1, 2], receiver.Words);
    }

    [Fact]
    public void StandardInput_Closed_SaysSo()
    {
        const int NoDescriptor = 1_000_000;

        SourceException exception = Assert.Throws<SourceException>(() => Run(new StandardInputSource(WordBytes.Decoder) { Descriptor = NoDescriptor }));

        Assert.Equal(SourceFailure.Missing, exception.Failure);
    }

    [Fact]
    public void Stream_ThatIgnoresCancellation_IsLeftWhenStopped()
    {
        using BlockedStream stream = new();
        using SourceRun run = new(new StreamSource(stream, "stream:blocked", WordBytes.Decoder) { LeaveOpen = true }, new WatchedReceiver());
        stream.WaitUntilRead();

        run.Stop();

        Assert.Null(run.Fault);
    }

    [Fact]
    public void Stream_Fails_IsAFaultOfTheStream()
    {
        using FailingStream stream = new();

        SourceException exception = Assert.Throws<SourceException>(() => Run(new StreamSource(stream, "stream:failing", WordBytes.Decoder)));

        Assert.Equal(SourceFailure.Unreadable, exception.Failure);
        Assert.Contains("gone wrong", exception.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Recording_WithGapsAndBreaks_BringsThemInTheirPlaces()
    {
        using RecordingFolder folder = new();
        string name = folder.File("night");
        using (RecordingWriter writer = new(name, new RecordingWriterOptions { ChannelCount = 2, Bits = 12, ScanRateHz = 1_000 }))
        {
            writer.Write([1, 2, 3, 4]);
            writer.WriteGap(7, GapCause.Overrun);
            writer.Write([5, 6]);
            writer.WriteBreak();
            writer.Write([7, 8]);
            writer.Complete();
        }

        HeardStream heard = new();
        new RecordingSource(name).Run(heard, CancellationToken.None);

        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8], heard.Words);
        Assert.Equal(2, heard.Events.Count);
        Assert.StartsWith("2 skip 7", heard.Events[0], StringComparison.Ordinal);
        Assert.StartsWith("3 break", heard.Events[1], StringComparison.Ordinal);
        Assert.Equal(1_000, heard.Description!.Scan.ScanRateHz);
    }

    [Fact]
    public void Recording_WithWordsOfTheDevice_GivesEachBeforeItsScan()
    {
        // scans    1 2 | 3 4 | (7 lost) 5 6 | 7 8
        // words    3   |     | 4            |        "open" is said of the last scan, a note of a person is nobody's word
        using RecordingFolder folder = new();
        string name = folder.File("night");
        using (RecordingWriter writer = new(name, new RecordingWriterOptions { ChannelCount = 2, Bits = 12 }))
        {
            writer.Write([1, 2, 3, 4]);
            writer.WriteGap(7, GapCause.Overrun);
            writer.Write([5, 6, 7, 8]);
            writer.Annotate(new(0, 1, "mark", Mark: 3));
            writer.Annotate(new(1, 1, "note", "seen by a person"));
            writer.Annotate(new(2, 1, "gap", "7 scans are missing before this one."));
            writer.Annotate(new(2, 1, "mark", Mark: 4));
            writer.Annotate(new(3, 1, "device", "open"));
            writer.Complete();
        }

        HeardStream heard = new();
        new RecordingSource(name).Run(heard, CancellationToken.None);

        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8], heard.Words);
        Assert.Equal(["0 mark 0 3", "2 skip 7 Overrun", "2 mark 9 4", "3 say open"], heard.Events);
    }

    [Fact]
    public void Recording_WithSetupBeside_DescribesItsChannelsAsTheSetupDoes()
    {
        using RecordingFolder folder = new();
        string name = folder.File("night");
        using (RecordingWriter writer = new(name, new RecordingWriterOptions { ChannelCount = 3 }))
        {
            writer.Write([1, 2, 3]);
            writer.Complete();
        }

        ScanFormat format = new() { Roles = [ChannelRole.Blanking, ChannelRole.Vertical, ChannelRole.Ramp], Bits = 10 };
        SetupFile.Save(SetupFile.NameBeside(name), new Setup { Scan = format });
        HeardStream heard = new();
        new RecordingSource(name).Run(heard, CancellationToken.None);

        Assert.Equal(format.Roles, heard.Description!.Scan.Roles);
        Assert.Equal(10, heard.Description.Scan.Bits);
    }

    [Fact]
    public void Recording_Missing_SaysSo()
    {
        using RecordingFolder folder = new();

        Assert.Equal(SourceFailure.Missing, Assert.Throws<SourceException>(() => Run(new RecordingSource(folder.File("no")))).Failure);
    }

    [Fact]
    public void Recording_StoppedInThePassOverTheFile_Ends()
    {
        using RecordingFolder folder = new();
        string name = folder.File("long");
        File.WriteAllText(name + ".sigmf-meta", """{ "global": { "core:datatype": "rf32_le", "core:version": "1.2.5", "core:num_channels": 2 }, "captures": [], "annotations": [] }""");

        // A file of nothing that takes no room, and minutes to look through.
        using (FileStream data = File.Create(name + ".sigmf-data")) data.SetLength(1L << 38);
        WatchedReceiver receiver = new();
        using SourceRun run = new(new RecordingSource(name), receiver);

        run.Stop();

        Assert.Null(run.Fault);
        Assert.Empty(receiver.Events);
    }

    [Fact]
    public void Synthetic_WithoutPace_BringsTheBenchesOwnScansAndLosses()
    {
        SyntheticOptions options = new() { Seed = 3, Scans = 30_000, Loss = new LossModel { Gaps = [new GapAt(10_000, 500)], Breaks = [new BreakAt(20_000, 300)] } };
        SyntheticBench bench = new(options);
        List<ushort> expected = [];
        ushort[] scans = new ushort[2 * 1_000];
        SyntheticRead read;
        while ((read = bench.Read(scans)).Kind != SyntheticReadKind.End)
            if (read.Kind == SyntheticReadKind.Scans) expected.AddRange(scans.AsSpan(0, 2 * (int)read.Count));

        HeardStream heard = new();
        new SyntheticSource(options).Run(heard, CancellationToken.None);

        Assert.Equal(expected, heard.Words);
        Assert.Equal(["10000 skip 500 Overrun", "20000 break Reset 0"], heard.Events);
    }

    [Theory]
    [InlineData(1e-10)]
    [InlineData(double.Epsilon)]
    public async Task Synthetic_PacedSoSlowlyThatNoScanIsEverDue_WaitsUntilItIsStopped(double pace)
    {
        SyntheticSource source = new(new SyntheticOptions { ScanRateHz = 1_000, Scans = 1_000 }) { Pace = pace };
        using CancellationTokenSource stop = new(TimeSpan.FromMilliseconds(20));

        await Task.Run(() => source.Run(new HeardStream(), stop.Token));

        Assert.True(stop.IsCancellationRequested);
    }

    [Fact]
    public void Synthetic_Paced_BringsWhatIsDueAndNoMore()
    {
        StepClock clock = new();
        WatchedReceiver receiver = new();
        SyntheticSource source = new(new SyntheticOptions { ScanRateHz = 1_000, Scans = 1_000 }) { Pace = 2, Clock = clock };
        Assert.False(source.CanWait);
        using SourceRun run = new(source, receiver);

        clock.WaitForTimer();
        Assert.Empty(receiver.Words);
        clock.Advance(TimeSpan.FromMilliseconds(50));
        receiver.WaitForWords(2 * 100);
        clock.WaitForTimer();
        Assert.Equal(2 * 100, receiver.Words.Length);
        clock.Advance(TimeSpan.FromSeconds(1));
        run.WaitForEnd();

        Assert.Equal(2 * 1_000, receiver.Words.Length);
    }

    private static void Run(IScanSource source) => source.Run(new WatchedReceiver(), CancellationToken.None);

    private sealed class BlockedStream : EmptyStream
    {
        private readonly ManualResetEventSlim _reading = new();

        public void WaitUntilRead() => Assert.True(_reading.Wait(TimeSpan.FromSeconds(20)));

        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
        {
            _reading.Set();
            return new ValueTask<int>(new TaskCompletionSource<int>().Task);
        }

        protected override void Dispose(bool disposing)
        {
            _reading.Dispose();
            base.Dispose(disposing);
        }
    }

    private sealed class FailingStream : EmptyStream
    {
        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) =>
            ValueTask.FromException<int>(new IOException("gone wrong"));
    }

    private abstract class EmptyStream : Stream
    {
        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override void Flush() => throw new NotSupportedException();

        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
