namespace Acquire.Harness;

internal static class Program
{
    private static int Main(string[] args) => args.Length == 0 ? 2 : 0;
}
