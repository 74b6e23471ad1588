using System.Numerics;
using Acquire.Scales;
using CsCheck;

namespace Acquire.Tests.Scales;

public class BinaryLogarithmTests
{
    private static double Of(double x) => BinaryLogarithm.Of(new Vector<double>(x))[0];

    // The platform's logarithm is within a unit in the last place of the true one; ours adds three roundings, each of half a unit of the
    // logarithm or of its whole part.
    private static double Tolerance(double expected) => 4 * Math.ScaleB(1, -53) * Math.Abs(expected);

    [Fact]
    public void Of_AnyPositiveNumber_IsThePlatformsLogarithm() =>
        Gen.Select(Gen.Double[1, 2], Gen.Int[-1_074, 1_023]).Sample((mantissa, exponent) =>
        {
            double x = Math.ScaleB(mantissa, exponent);

            Assert.Equal(Math.Log2(x), Of(x), Tolerance(Math.Log2(x)));
        });

    [Fact]
    public void Of_NumbersNearOne_LoseNothing() =>
        Gen.Select(Gen.Double[1, 2], Gen.Int[-50, -1], Gen.Bool).Sample((mantissa, exponent, below) =>
        {
            double x = 1 + ((below ? -1 : 1) * Math.ScaleB(mantissa, exponent) / 4);

            Assert.Equal(Math.Log2(x), Of(x), Tolerance(Math.Log2(x)));
        });

    [Fact]
    public void Of_PowersOfTwo_IsTheExponent()
    {
        for (int exponent = -1_022; exponent <= 1_023; exponent++) Assert.Equal(exponent, Of(Math.ScaleB(1, exponent)));
    }

    [Fact]
    public void Of_NumbersBesideOthers_HasTheBitsOfEachAlone()
    {
        double[] lanes = [0.3, double.NaN, double.Epsilon, double.PositiveInfinity, 7, 0, -1, 1e-300];
        for (int first = 0; first < lanes.Length; first++)
        {
            double[] some = [.. Enumerable.Range(first, Vector<double>.Count).Select(i => lanes[i % lanes.Length])];

            Vector<double> together = BinaryLogarithm.Of(new Vector<double>(some));

            for (int i = 0; i < some.Length; i++)
                Assert.Equal(BitConverter.DoubleToInt64Bits(Of(some[i])), BitConverter.DoubleToInt64Bits(together[i]));
        }
    }

    [Fact]
    public void Of_WhatHasNoLogarithm_IsAsThePlatformSays()
    {
        Assert.Equal(double.NegativeInfinity, Of(0));
        Assert.Equal(double.PositiveInfinity, Of(double.PositiveInfinity));
        Assert.True(double.IsNaN(Of(-1)));
        Assert.True(double.IsNaN(Of(double.NaN)));
    }
}
