using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Keeps bytes as they came. Read it when the run has ended.</summary>
internal sealed class KeptBytes : IByteTap
{
    public List<byte> Bytes { get; } = [];

    public int Interruptions { get; private set; }

    public void Take(ReadOnlySpan<byte> bytes) => Bytes.AddRange(bytes);

    public void Interrupt(GapCause cause) => Interruptions++;
}
