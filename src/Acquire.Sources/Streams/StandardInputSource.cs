using System.Runtime.Versioning;
using Acquire.Capture;
using Acquire.Link;
using Acquire.Sources.Native;

namespace Acquire.Sources.Streams;

/// <summary>Bytes from standard input, until it is closed.</summary>
public sealed class StandardInputSource : ByteSource
{
    /// <summary>Makes a source; standard input is not touched before <see cref="ByteSource.Run"/>.</summary>
    /// <param name="decoder">Makes the decoder for a receiver, once, when the source runs.</param>
    public StandardInputSource(Func<IScanReceiver, IByteDecoder> decoder)
        : base("stdin:", decoder)
    {
    }

    /// <summary>Whether the writer at the other end waits while nobody reads; default true, as pipes and files do.</summary>
    public bool Waits { get; init; } = true;

    /// <inheritdoc/>
    public override bool CanWait => Waits;

    /// <summary>Read in place of standard input; for tests.</summary>
    internal int Descriptor { get; init; }

    /// <inheritdoc/>
    protected override void RunBytes(CancellationToken stop)
    {
        if (OperatingSystem.IsLinux()) RunDescriptor(stop);
        else StreamReading.Run(Name, Console.OpenStandardInput(), Give, stop);
    }

    [SupportedOSPlatform("linux")]
    private void RunDescriptor(CancellationToken stop)
    {
        using StopEvent signal = new(stop);
        byte[] buffer = GC.AllocateUninitializedArray<byte>(DescriptorPump.BlockBytes);

        // Left blocking: the setting would be shared with whoever gave us the descriptor, a shell's terminal for one.
        if (DescriptorPump.Run(Descriptor, neverBlocks: false, signal, Give, buffer, out int errno) != PumpEnd.Failed) return;
        throw errno switch
        {
            Errno.BadDescriptor => new SourceException(SourceFailure.Missing, "stdin: standard input is closed; feed it from a pipe or a file."),
            Errno.IsDirectory => new SourceException(SourceFailure.IsFolder, "stdin: standard input is a folder; feed it from a pipe or a file."),

            // A terminal whose other side went away.
            Errno.InputOutput => new SourceException(SourceFailure.Unplugged, "stdin: the other side went away; start it again."),
            _ => new SourceException(SourceFailure.Unreadable, $"stdin: reading failed ({SystemText.Of(errno)}); check what feeds it."),
        };
    }
}
