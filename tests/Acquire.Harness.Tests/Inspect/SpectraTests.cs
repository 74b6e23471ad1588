using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Tests.Inspect;

public sealed class SpectraTests
{
    [Theory]
    [InlineData(2)]
    [InlineData(8)]
    [InlineData(64)]
    public void Transform_AnySignal_MatchesTheDefinition(int length)
    {
        Random random = new(length);
        double[] real = [.. Enumerable.Range(0, length).Select(_ => random.NextDouble() - 0.5)];
        double[] imaginary = [.. Enumerable.Range(0, length).Select(_ => random.NextDouble() - 0.5)];
        (double Re, double Im)[] expected = [.. Enumerable.Range(0, length).Select(k => Slow(real, imaginary, k))];

        new FourierTransform(length).Transform(real, imaginary);

        for (int k = 0; k < length; k++)
        {
            Assert.Equal(expected[k].Re, real[k], 1e-12);
            Assert.Equal(expected[k].Im, imaginary[k], 1e-12);
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(1)]
    public void Transform_LengthNotAPowerOfTwo_Throws(int length) =>
        Assert.Throws<ArgumentException>(() => new FourierTransform(length));

    [Theory]
    [InlineData(0.0123, 3)]
    [InlineData(0.2, 0.5)]
    [InlineData(0.4431, 12)]
    public void Find_SineInNoise_FrequencyAndAmplitude(double cyclesPerScan, double amplitude)
    {
        PowerSpectrum spectrum = new(4_096);
        Random random = new(5);
        for (int stretch = 0; stretch < 4; stretch++)
            spectrum.Add([.. Enumerable.Range(0, 4_096).Select(i => (amplitude * Math.Sin((2 * Math.PI * cyclesPerScan * i) + stretch)) + random.NextDouble() - 0.5)]);

        SpectralLine line = LineSearch.Find(spectrum, 1)[0];

        Assert.Equal(cyclesPerScan, line.CyclesPerScan, 0.1 / 4_096);
        Assert.InRange(line.Amplitude, 0.95 * amplitude, 1.05 * amplitude);
    }

    [Fact]
    public void Find_NoiseOnly_FindsNothing()
    {
        for (int seed = 0; seed < 40; seed++)
        {
            PowerSpectrum spectrum = new(8_192);
            Random random = new(seed);
            spectrum.Add([.. Enumerable.Range(0, 8_192).Select(_ => random.NextDouble() - 0.5)]);
            Assert.Empty(LineSearch.Find(spectrum, 1));
        }
    }

    [Fact]
    public void Find_KinkedCourse_FindsNothing()
    {
        Random random = new(9);
        double[] kinked = [.. Enumerable.Range(0, 5_000).Select(i => Math.Max(0.3 * i, (0.9 * i) - 1_800) + random.NextDouble())];
        CubicCourse.Remove(kinked);
        PowerSpectrum spectrum = new(4_096);
        spectrum.Add(kinked.AsSpan(400, 4_096));

        Assert.Empty(LineSearch.Find(spectrum, 1));
    }

    [Fact]
    public void Remove_Cubic_LeavesNothingAndTellsItsSlopes()
    {
        // 5 + 2 x - 3 x^2 + x^3 with x = i / 100: slope in x is 2 at the start and 2 - 6 + 3 = -1 at the end
        double[] values = [.. Enumerable.Range(0, 101).Select(i => i / 100.0).Select(x => 5 + (2 * x) - (3 * x * x) + (x * x * x))];

        (double start, double end) = CubicCourse.Remove(values);

        Assert.All(values, v => Assert.Equal(0, v, 1e-9));
        Assert.Equal(2 / 100.0, start, 1e-9);
        Assert.Equal(-1 / 100.0, end, 1e-9);
    }

    [Fact]
    public void SpikeWatch_SingleScanOffTheCourse_IsCountedOnce()
    {
        SpikeWatch spikes = new(20);
        int[] codes = [100, 101, 102, 180, 104, 105, 150, 151, 152];
        for (int i = 0; i < codes.Length; i++) spikes.Add(i, (ushort)codes[i]);

        // 180 at scan 3 is a spike; the step to 150 is none.
        Assert.Equal((1, 3), (spikes.Count, spikes.FirstScan));
    }

    [Theory]
    [InlineData(49.8, 50.0, 1)]
    [InlineData(100.3, 50.0, 2)]
    [InlineData(60.1, 60.0, 1)]
    [InlineData(119.5, 60.0, 2)]
    public void MainsOf_LowMultiple_IsKnown(double hertz, double mains, int multiple) =>
        Assert.Equal((mains, multiple), Harness.Inspect.Findings.Mains.Of(hertz));

    [Theory]
    [InlineData(55)]
    [InlineData(25)]
    [InlineData(1_000)]
    public void MainsOf_AnythingElse_IsNone(double hertz) => Assert.Null(Harness.Inspect.Findings.Mains.Of(hertz));

    private static (double Re, double Im) Slow(double[] real, double[] imaginary, int k)
    {
        double re = 0, im = 0;
        for (int n = 0; n < real.Length; n++)
        {
            (double s, double c) = Math.SinCos(-2 * Math.PI * k * n / real.Length);
            re += (real[n] * c) - (imaginary[n] * s);
            im += (real[n] * s) + (imaginary[n] * c);
        }

        return (re, im);
    }
}
