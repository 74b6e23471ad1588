using Acquire.Painting;

namespace Acquire.Tests.Models;

/// <summary>How a colour looks to a reader who lacks one kind of cone.</summary>
/// <remarks>Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency",
/// severity 1.0, on linear sRGB; the matrices as many public repositories quote them.</remarks>
internal static class ColourVision
{
    public static readonly (string Name, double[] Matrix)[] All =
    [
        ("usual", [1, 0, 0, 0, 1, 0, 0, 0, 1]),
        ("protanopia", [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998]),
        ("deuteranopia", [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881]),
        ("tritanopia", [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900]),
    ];

    public static CieLab Seen(Colour colour, double[] matrix)
    {
        double r = SrgbTransfer.Decode(colour.Red);
        double g = SrgbTransfer.Decode(colour.Green);
        double b = SrgbTransfer.Decode(colour.Blue);
        double Row(int i) => Math.Clamp((matrix[i] * r) + (matrix[i + 1] * g) + (matrix[i + 2] * b), 0, 1);
        return CieLab.FromLinear(Row(0), Row(3), Row(6));
    }
}
