using System.IO.Pipelines;
using Acquire.Link.Tests.Doubles;

namespace Acquire.Link.Tests;

public class PipePumpTests
{
    private static byte[] Frames(int scans)
    {
        var wire = new ByteList();
        var encoder = new LinkEncoder(new LinkEncoderOptions { FrameBytes = 8_192 });
        encoder.WriteDescription(wire);
        encoder.WriteScans([.. Enumerable.Range(0, 2 * scans).Select(i => (ushort)(i & 0xFFF))], wire);
        return wire.ToArray();
    }

    [Fact]
    public async Task Pump_PipeSmallerThanAFrame_CarriesEverything()
    {
        // A pipe that pauses its writer far below a frame: a reader that waited for a whole one would wait for ever.
        var pipe = new Pipe(new PipeOptions(minimumSegmentSize: 256, pauseWriterThreshold: 1_024, resumeWriterThreshold: 512, useSynchronizationContext: false));
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);
        byte[] bytes = Frames(20_000);

        Task pump = PipePump.PumpAsync(pipe.Reader, decoder, TestContext.Current.CancellationToken);
        for (int at = 0; at < bytes.Length; at += 700)
            await pipe.Writer.WriteAsync(bytes.AsMemory(at, Math.Min(700, bytes.Length - at)), TestContext.Current.CancellationToken);
        await pipe.Writer.CompleteAsync();
        await pump;

        Assert.Equal((20_000, 0, bytes.Length), (heard.Scans, decoder.ScansLost, decoder.BytesTaken));
    }

    [Fact]
    public async Task Pump_PipeEndsInsideAFrame_CompletesTheDecoder()
    {
        var decoder = new LinkDecoder(new HeardScans());
        byte[] bytes = Frames(100);

        await PipePump.PumpAsync(PipeReader.Create(new MemoryStream(bytes[..^1])), decoder, TestContext.Current.CancellationToken);

        Assert.Equal((0, 1), (decoder.ScansDelivered, decoder.CountOf(LinkVerdict.CutOff)));
    }

    [Fact]
    public async Task Pump_Cancelled_EndsWaitingAndLeavesTheDecoderUsable()
    {
        var pipe = new Pipe();
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);
        using var cancel = new CancellationTokenSource();

        Task pump = PipePump.PumpAsync(pipe.Reader, decoder, cancel.Token);
        await cancel.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => pump);
        decoder.Take(Frames(3));

        Assert.Equal(3, heard.Scans);
    }

    [Fact]
    public async Task Pump_WriterFails_PassesTheFaultOn()
    {
        var pipe = new Pipe();
        await pipe.Writer.CompleteAsync(new IOException("the plug was pulled"));

        IOException thrown = await Assert.ThrowsAsync<IOException>(() => PipePump.PumpAsync(pipe.Reader, new LinkDecoder(new HeardScans()), TestContext.Current.CancellationToken));

        Assert.Equal("the plug was pulled", thrown.Message);
    }
}
