using System.Buffers;
using Acquire.Capture;
using Acquire.Link;
using Acquire.Sources.Serial;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sources;

/// <summary>The link protocol over a real pseudo-terminal, with the plug pulled.</summary>
public class LinkOverSerialTests
{
    private static readonly StreamDescription Description = new() { Scan = new ScanFormat { Bits = 16, ScanRateHz = 50_000 }, Device = "bench meter" };

    [Fact]
    public void Run_PlugPulledAndPutBack_TheScansSentMeanwhileAreAGapOfThatLength()
    {
        using Replugged replugged = new();
        LinkEncoder device = Device();

        replugged.First.Write(Bytes(device, NumberedScans.From(0, 1_000)));
        replugged.Receiver.WaitForWords(2 * 1_000);
        _ = Bytes(device, NumberedScans.From(1_000, 333));
        replugged.Replug();
        replugged.Second.Write(Bytes(device, NumberedScans.From(1_333, 500)));
        replugged.Receiver.WaitForWords(2 * 1_500);
        replugged.Run.Stop();

        Assert.Equal([.. NumberedScans.From(0, 1_000), .. NumberedScans.From(1_333, 500)], replugged.Receiver.Words);
        Assert.Contains("skip 333 Link", replugged.Receiver.Events);
        Assert.DoesNotContain(replugged.Receiver.Events, e => e.StartsWith("break", StringComparison.Ordinal));
        Assert.Equal(1, replugged.Run.Source.Reconnections);
        Assert.Equal("bench meter", replugged.Receiver.Description!.Device);
    }

    [Fact]
    public void Run_DeviceLostItsSupplyWithThePlug_IsABreak()
    {
        using Replugged replugged = new();
        LinkEncoder device = Device();

        replugged.First.Write(Bytes(device, NumberedScans.From(0, 1_000)));
        replugged.Receiver.WaitForWords(2 * 1_000);
        replugged.Replug();
        device.BeginRun(run: 77);
        replugged.Second.Write(Bytes(device, NumberedScans.From(0, 500)));
        replugged.Receiver.WaitForWords(2 * 1_500);
        replugged.Run.Stop();

        Assert.Equal([.. NumberedScans.From(0, 1_000), .. NumberedScans.From(0, 500)], replugged.Receiver.Words);
        Assert.Single(replugged.Receiver.Events, e => e.StartsWith("break Reset", StringComparison.Ordinal));
        Assert.DoesNotContain(replugged.Receiver.Events, e => e.StartsWith("skip", StringComparison.Ordinal));
    }

    [Fact]
    public void Run_DeviceSpeaksAnotherMajorVersion_IsAFaultThatNamesThePort()
    {
        using Pty pty = new();
        byte[] frame = new byte[LinkFrame.MostWireBytes(0)];
        int length = LinkFrame.Write(new LinkHeader(LinkFrameKind.Scans16, 1, 0, 0) { Version = 0x30 }, [], frame);
        using SourceRun run = new(new SerialSource(pty.Port, null, receiver => new LinkDecoder(receiver)), new WatchedReceiver());

        pty.Write([0, .. frame.AsSpan(0, length)]);
        run.WaitForEnd();

        SourceException fault = Assert.IsType<SourceException>(run.Fault);
        Assert.Equal(SourceFailure.NotUnderstood, fault.Failure);
        Assert.StartsWith($"serial:{pty.Port}: The device speaks link protocol 3.0", fault.Message, StringComparison.Ordinal);
    }

    private static LinkEncoder Device() => new(new LinkEncoderOptions { Description = Description });

    private static byte[] Bytes(LinkEncoder device, ushort[] scans)
    {
        ArrayBufferWriter<byte> bytes = new();
        device.WriteDescription(bytes);
        device.WriteScans(scans, bytes);
        return bytes.WrittenSpan.ToArray();
    }

    /// <summary>A source on a port whose name stays while the device behind it is changed.</summary>
    private sealed class Replugged : IDisposable
    {
        private readonly RecordingFolder _folder = new();
        private readonly string _port;

        public Replugged()
        {
            _port = _folder.File("meter");
            File.CreateSymbolicLink(_port, First.Port);
            Run = new SourceRun(new SerialSource(_port, new SerialOptions { ReplugWait = Timeout.InfiniteTimeSpan }, receiver => new LinkDecoder(receiver)), Receiver);
        }

        public Pty First { get; } = new();

        public Pty Second { get; } = new();

        public WatchedReceiver Receiver { get; } = new();

        public SourceRun Run { get; }

        public void Replug()
        {
            File.Delete(_port);
            First.Dispose();
            File.CreateSymbolicLink(_port, Second.Port);
        }

        public void Dispose()
        {
            Run.Dispose();
            First.Dispose();
            Second.Dispose();
            _folder.Dispose();
        }
    }
}
