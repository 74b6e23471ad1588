using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>Losses of the filters against handbook values.</summary>
public sealed class FilterModelTests
{
    [Theory] // Butterworth, closed form 10 log10(1 + w^2n): Butterworth 1930; Matthaei, Young & Jones ch. 4
    [InlineData(2, 2, 12.304489)]
    [InlineData(3, 2, 18.129134)]
    [InlineData(5, 1.5, 17.683794)] // also Pozar, Microwave Engineering, example 8.3: 2 GHz low-pass at 3 GHz, n = 5
    [InlineData(7, 2, 42.144464)]
    [InlineData(4, 0.5, 0.016932)]
    [InlineData(9, 1, 3.010300)]
    public void LossDb_ButterworthLowPass_IsTheHandbookValue(int order, double w, double lossDb)
    {
        FilterModel filter = new() { Band = FilterBand.LowPass, Order = order, FrequencyHz = 2_000 };

        Assert.Equal(lossDb, filter.LossDb(w * 2_000), 1e-6);
    }

    [Theory] // Chebyshev I: DLMF 18.5 for T_n; Matthaei, Young & Jones ch. 4
    [InlineData(3, 0.5, 2, 19.216057)]
    [InlineData(5, 0.5, 2, 42.038698)]
    [InlineData(5, 0.1, 2, 34.847847)]
    [InlineData(5, 1, 1.5, 29.913681)]
    [InlineData(7, 0.1, 1.5, 36.169254)]
    [InlineData(3, 3, 2, 28.285293)]
    [InlineData(5, 0.5, 1, 0.5)] // edge of the ripple
    [InlineData(4, 0.5, 0, 0.5)] // even order starts at the ripple
    [InlineData(3, 0.5, 1.167485, 3.010300)] // 3 dB edge cosh(acosh(1/e)/n)
    [InlineData(5, 0.1, 1.134718, 3.010300)]
    public void LossDb_ChebyshevLowPass_IsTheHandbookValue(int order, double rippleDb, double w, double lossDb)
    {
        FilterModel filter = new() { Family = FilterFamily.Chebyshev, Band = FilterBand.LowPass, Order = order, RippleDb = rippleDb, FrequencyHz = 2_000 };

        Assert.Equal(lossDb, filter.LossDb(w * 2_000), 4e-5); // the two edges are printed with six decimals
    }

    [Theory] // band-stop of the recordings in tests/data: -10 log10(1 + (B f/(f² - f0²))^6), f0 = 25 kHz, B = 10 kHz
    [InlineData(20_494.9)]
    [InlineData(30_495.2)] // the nominal 30 495.1: f+ and f- have the product f0² and the difference B
    public void LossDb_BandStopAtItsEdge_IsThreeDecibels(double frequencyHz) =>
        Assert.Equal(3.0103, new FilterModel().LossDb(frequencyHz), 1e-3);

    [Theory]
    [InlineData(FilterBand.BandPass, 25_000, 0)]
    [InlineData(FilterBand.BandStop, 25_000, FilterModel.MostLossDb)]
    [InlineData(FilterBand.BandStop, 0, 0)]
    [InlineData(FilterBand.BandPass, 0, FilterModel.MostLossDb)]
    [InlineData(FilterBand.HighPass, 0, FilterModel.MostLossDb)]
    [InlineData(FilterBand.LowPass, 0, 0)]
    [InlineData(FilterBand.HighPass, 25_000, 3.0103)]
    [InlineData(FilterBand.LowPass, 25_000, 3.0103)]
    public void LossDb_CentreAndZero_AreWhatTheBandSays(FilterBand band, double frequencyHz, double lossDb) =>
        Assert.Equal(lossDb, new FilterModel { Band = band }.LossDb(frequencyHz), 1e-4);
}
