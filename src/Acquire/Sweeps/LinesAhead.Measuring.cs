using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

// How near the scans of several lines lie to them.
internal sealed partial class LinesAhead
{
    private readonly double[] _mostOffs = new double[Padded];
    private readonly int[] _peaks = new int[Padded];

    /// <summary>Most that a scan of each line lies off it, see <see cref="RampRun.Off"/>.</summary>
    public ReadOnlySpan<double> MostOffs => _mostOffs;

    /// <summary>Highest of the lower of two neighbours of each line, see <see cref="RampRun.Peak"/>.</summary>
    public ReadOnlySpan<int> Peaks => _peaks;

    /// <summary>Measures lines that were worked out.</summary>
    /// <param name="codes">Place of the first scan, as it was given to <see cref="Sum"/>; the scan before it is there too.</param>
    /// <param name="lines">How many.</param>
    /// <param name="mirror">0, or the full code where the ramp falls.</param>
    /// <returns>How many of them could be measured, up to the first that leads too far away.</returns>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public int Measure(ref ushort codes, int lines, ushort mirror)
    {
        Vector256<ushort> origins = Vector256.Create((ushort)_origin), mirrors = Vector256.Create(mirror);
        for (int i = 0; i < lines; i++)
        {
            long line = ((long)_values[i] >> 16) - ((long)_origin << 16), step = (long)_steps[i] >> 16;
            if (Lanes.Size(line) + (Lanes.Size(step) * Length) >= (long)RampRun.MostOff << 16) return i;
            (_mostOffs[i], _peaks[i]) = RampRun.OffAndPeak(ref Unsafe.Add(ref codes, i * Length), Length, origins, (int)line, (int)step, mirrors);
        }

        return lines;
    }
}
