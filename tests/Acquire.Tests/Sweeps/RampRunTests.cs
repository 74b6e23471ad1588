using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

public class RampRunTests
{
    // With a spike after it, the lower of two neighbours is first the peak where the second of the two is.
    [Theory]
    [InlineData(0)]
    [InlineData(4_095)]
    public void PlaceOfFew_EveryPlace_IsTheFirst(int mirror)
    {
        for (int at = 0; at < 64; at++)
        {
            ushort[] codes = [.. Enumerable.Repeat((ushort)(7 ^ mirror), 1 + 64)];
            codes[at] = codes[at + 1] = (ushort)(900 ^ mirror);
            codes[^1] = codes[^2] = (ushort)(900 ^ mirror);

            int few = RampRun.PlaceOfFew(900, ref codes[1], (ushort)mirror), many = RampRun.PlaceOf(900, ref codes[1], 0, (ushort)mirror);

            Assert.Equal(at, few);
            Assert.Equal(at, many);
        }
    }
}
