using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Harness.Shell;

namespace Acquire.Harness;

internal static class Program
{
    // Linux, asm-generic/signal.h; macOS, sys/signal.h. The platform has no name for it and takes the number.
    private const PosixSignal FileGrewTooLarge = (PosixSignal)25;

    private static int Main(string[] args) => OpenFiles.AreTooFew() ? ExitCode.Unreadable : Run(args);

    // Apart from the question above: what is called here is loaded, from files, when this method is compiled.
    [MethodImpl(MethodImplOptions.NoInlining)]
    private static int Run(string[] args)
    {
        using CancellationTokenSource stop = new();
        using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);

        // The terminal was closed, or the line to it broke: what runs in it is to close its files as well.
        using PosixSignalRegistration hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, Stop);

        // A write beyond the limit of the user's files would end the process without a word; passed over, it fails as one to a full disk does.
        using PosixSignalRegistration? limit = OperatingSystem.IsWindows() ? null : PosixSignalRegistration.Create(FileGrewTooLarge, context => context.Cancel = true);
        return HarnessProgram.Run(args, Console.Out, Console.Error, stop.Token);

        // The first signal lets the run close its files; a second one ends the process at once.
        void Stop(PosixSignalContext context)
        {
            context.Cancel = !stop.IsCancellationRequested;
            stop.Cancel();
        }
    }
}
