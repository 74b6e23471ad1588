using Acquire.Sources.Synthetic;
using CsCheck;
using MathNet.Numerics.Distributions;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>The four-operations functions against the platform's and against a statistics library.</summary>
public sealed class PortableMathTests
{
    /// <summary>Eight units in the last place of a double.</summary>
    private const double Relative = 8 * 2.220446049250313e-16;

    [Fact]
    public void Log_AnyPositiveNumber_AgreesWithPlatform() =>
        Gen.Double[-700, 700].Sample(e =>
        {
            double x = Math.Exp(e);
            Assert.Equal(Math.Log(x), PortableMath.Log(x), Relative * Math.Max(1, Math.Abs(e)));
        });

    [Fact]
    public void Exp_AnyNumber_AgreesWithPlatform() =>
        Gen.Double[-700, 700].Sample(x => Assert.Equal(1, PortableMath.Exp(x) / Math.Exp(x), Relative));

    [Fact]
    public void SinTurns_AnyAngle_AgreesWithPlatform() =>
        Gen.Double[-0.5, 0.5].Sample(x => Assert.Equal(Math.Sin(2 * Math.PI * x), PortableMath.SinTurns(x), Relative));

    [Fact]
    public void SinTurns_WholeTurns_ChangeNothing() =>
        Gen.Select(Gen.Int[-1024, 1024], Gen.Int[-1_000_000, 1_000_000]).Sample((part, turns) =>
            Assert.Equal(PortableMath.SinTurns(part / 1024.0), PortableMath.SinTurns((part / 1024.0) + turns), Relative));

    [Fact]
    public void NormalQuantile_AnyProbability_AgreesWithLibrary() =>
        Gen.Double[1e-15, 1 - 1e-15].Sample(p => Assert.Equal(Normal.InvCDF(0, 1, p), PortableMath.NormalQuantile(p), 1e-9));

    [Theory] // standard normal table, e.g. Abramowitz & Stegun table 26.5 (from memory)
    [InlineData(0.5, 0)]
    [InlineData(0.975, 1.959963984540054)]
    [InlineData(0.001, -3.090232306167813)]
    [InlineData(1e-10, -6.361340902404056)]
    public void NormalQuantile_TableValue_IsMet(double probability, double value) =>
        Assert.Equal(value, PortableMath.NormalQuantile(probability), 1e-12);

    [Theory]
    [InlineData(0, double.NegativeInfinity)]
    [InlineData(-1, double.NegativeInfinity)]
    [InlineData(double.PositiveInfinity, double.PositiveInfinity)]
    [InlineData(1, 0)]
    public void Log_Extremes_AreWhatTheySay(double x, double expected) => Assert.Equal(expected, PortableMath.Log(x));

    [Theory]
    [InlineData(-1_000, 0)]
    [InlineData(double.NegativeInfinity, 0)]
    [InlineData(1_000, double.PositiveInfinity)]
    [InlineData(0, 1)]
    public void Exp_Extremes_AreWhatTheySay(double x, double expected) => Assert.Equal(expected, PortableMath.Exp(x));
}
