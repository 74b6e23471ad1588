using System.Runtime.InteropServices;
using Acquire.Harness.Shell;

namespace Acquire.Harness;

internal static class Program
{
    private static int Main(string[] args)
    {
        using CancellationTokenSource stop = new();
        using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        return HarnessProgram.Run(args, Console.Out, Console.Error, stop.Token);

        // The first signal lets the run close its files; a second one ends the process at once.
        void Stop(PosixSignalContext context)
        {
            context.Cancel = !stop.IsCancellationRequested;
            stop.Cancel();
        }
    }
}
