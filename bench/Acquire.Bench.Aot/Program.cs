using System.Globalization;
using System.Numerics;
using Acquire;
using Acquire.Bench;
using Acquire.Bench.Speed;
using Acquire.Columns;

// `MEGABYTES SCANS-PER-COLUMN read|direct|fitted`: says its vectors' bits when it is ready, then goes once through the words for each line on standard input.
const int WordsPerCall = 2 * 4_096;
int megabytes = int.Parse(args[0], CultureInfo.InvariantCulture), scansPerColumn = int.Parse(args[1], CultureInfo.InvariantCulture);
ushort[] words = SpeedWords.Fill(scansPerColumn, (long)megabytes << 20);
SweepEngine engine = new(SpeedWords.SetupFor(args[2] == "direct" ? Placement.Direct : Placement.Fitted), new NoSink());
Console.WriteLine(Vector<byte>.Count * 8);
while (Console.ReadLine() is not null)
{
    if (args[2] == "read") Console.WriteLine(Words.Highest(words));
    else Console.WriteLine(Process());
}

long Process()
{
    for (int at = 0; at < words.Length; at += WordsPerCall) engine.Process(words.AsSpan(at, Math.Min(WordsPerCall, words.Length - at)));
    return engine.Traces[0].Version;
}
